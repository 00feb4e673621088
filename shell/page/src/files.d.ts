/* Modules that the build makes (build.mjs). */
declare module 'starts:files' {
  export const files: { starts: { id: string; text: string }[]; measured: Record<string, string>; names: string[] };
}
declare module 'core:told' {
  import type { Units } from './core/door';
  /** Of the core (told.mjs): units shown by system and dimension; each unit's size in SI and the reading that is 0 in SI; fields of the sheet. */
  export const told: {
    version: string;
    /** Standard pipes by their names. */
    pipes: string[];
    units: Record<Units, Record<string, string>>;
    sizes: Record<string, Record<string, [number, number]>>;
    fields: Record<string, { dimension?: string; options?: (string | number | boolean)[] }>;
  };
}
declare module '*.css';
