/* Words of the page in the chosen language. What the core says (sentences of the order, findings, reasons) is English. */
import { store } from '../state/job';
import { useStore } from '../state/store';
import { de } from './de';
import { en } from './en';

export type Key = keyof typeof en;
export type Catalogue = Record<Key, string>;

const CATALOGUES: Record<'en' | 'de', Catalogue> = { en, de };

export type Say = (key: Key, given?: Record<string, string | number>) => string;

export function say(language: 'en' | 'de'): Say {
  const words = CATALOGUES[language];
  return (key, given) => {
    const text = words[key] ?? key;
    return given ? text.replace(/\{(\w+)\}/g, (whole, name: string) => String(given[name] ?? whole)) : text;
  };
}

export function useWords(): Say {
  return say(useStore(store, (state) => state.language));
}

/** A key that may be missing (names of questions that need no more than the sheet's own word). */
export function maybe(language: 'en' | 'de', key: string): string | undefined {
  return (CATALOGUES[language] as Record<string, string>)[key];
}
