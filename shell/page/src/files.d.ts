/* Modules that the build makes (build.mjs). */
declare module 'starts:files' {
  export const files: { starts: { id: string; text: string }[]; measured: Record<string, string> };
}
declare module '*.css';
