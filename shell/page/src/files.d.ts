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
    /** The forms of watches that advice chooses from: a controller may lack some. */
    watches: string[];
    units: Record<Units, Record<string, string>>;
    sizes: Record<string, Record<string, [number, number]>>;
    fields: Record<string, { dimension?: string; example?: string; options?: (string | number | boolean)[] }>;
    /** By list and kind: the keys that an item of it must have, each with its example; '' for what names something of the sheet. */
    needs: Record<string, Record<string, Record<string, string>>>;
  };
}
declare module '*.css';
