/* Measured flows: a sheet names a CSV file; the core reads no files, so the page puts the flows into the site. */
import type { Plain } from './plain';

type Site = { [key: string]: Plain };

export function fillTraces(site: Site): Site {
  return site;
}
