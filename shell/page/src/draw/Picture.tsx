/* Small pictures of what a question is about. Drawn for this page: plain outlines, water filled. */
import type { ComponentChildren } from 'preact';

const ground = <path class="line" d="M2 30h44" />;

const PICTURES: Record<string, ComponentChildren> = {
  site: <><path class="line" d="M3 38c8-12 14-4 20-12s12-14 22-16" /><circle class="fill" cx="23" cy="26" r="3.5" /><circle class="fill" cx="40" cy="11" r="3.5" /></>,
  places: <><path class="line" d="M6 42V8m0 30h8M6 30h6M6 22h8M6 14h6" /><path class="line" d="M20 40h10V26h10V12h6" /></>,
  sources: <><path class="line" d="M18 12v32M30 12v32M4 14h14M30 14h14" /><path class="wet" d="M19 28h10v16H19z" /></>,
  bore: <><path class="line" d="M18 12v32M30 12v32M4 14h14M30 14h14" /><path class="wet" d="M19 28h10v16H19z" /></>,
  open: <><path class="wet" d="M4 24h30l-6 14H10z" /><path class="line" d="M2 22 10 38h18l8-16 10-6" /></>,
  mains: <><path class="wet" d="M2 20h34v10H2z" /><path class="line" d="M2 18h36v14H2M38 14v22h6V14z" /></>,
  pumps: <><circle class="line" cx="23" cy="26" r="12" /><path class="line" d="M23 14h18M11 26H2" /><path class="wet" d="M23 26m-7 0a7 7 0 0 1 14 0 7 7 0 0 1-14 0" /></>,
  lines: <><path class="line" d="M2 14h20v22h24M2 22h12v22h32" /><path class="wet" d="M2 15.5h18.500v22H46v5H15.500v-22H2z" /></>,
  vessels: <><rect class="line" x="14" y="6" width="20" height="34" rx="10" /><path class="wet" d="M15 26h18v5a9 9 0 0 1-18 0z" /><path class="line" d="M24 40v5M14 24h20" /></>,
  tanks: <><path class="line" d="M8 12v28h32V12" /><path class="wet" d="M9.500 22h29v17h-29z" /><path class="line" d="M4 14h14" /></>,
  house: <><path class="line" d="M4 24 24 8l20 16M10 20v22h28V20" /><path class="wet" d="M24 26c4 5 4 8 4 9a4 4 0 0 1-8 0c0-1 0-4 4-9z" /></>,
  garden: <><path class="line" d="M4 42h40M24 42V24M24 30c-8 0-10-5-10-9 6 0 10 3 10 9zM24 26c7 0 9-4 9-8-6 0-9 3-9 8z" /><path class="rain" d="M8 6l3 6M40 6l-3 6M16 4l2 5M32 4l-2 5M24 3v5" /></>,
  stock: <><path class="wet" d="M6 24h36l-3 10H9z" /><path class="line" d="M4 22h40l-4 14H8zM12 36v7M36 36v7M34 22V8h8" /></>,
  three: <><path class="line" d="M4 24c4-16 8-16 12 0s8 16 12 0 8-16 12 0" /><path class="line" d="M10 34c4-16 8-16 12 0s8 16 12 0" /></>,
  filters: <><path class="line" d="M2 16h10l4-8h16l4 8h10M2 28h10l4 8h16l4-8h10" /><path class="wet" d="M2 17.500h10v9H2zM36 17.500h10v9H36z" /><path class="line" d="M20 9v26M24 9v26M28 9v26" /></>,
  outlets: <><path class="line" d="M4 16h24c6 0 8 4 8 10M16 16v-6M10 10h12" /><path class="wet" d="M36 30c4 5 4 8 4 9a4 4 0 0 1-8 0c0-1 0-4 4-9z" /></>,
  sensors: <><circle class="line" cx="24" cy="22" r="15" /><path class="line" d="M24 22l8-8M24 37v8" /><circle class="fill" cx="24" cy="22" r="2.500" /></>,
  demand: <><path class="line" d="M4 42h40" /><path class="wet" d="M6 41v-8h6v8zM16 41V15h6v26zM26 41V25h6v16zM36 41V19h6v22z" /></>,
  supply: <><path class="line" d="M28 4 12 26h11l-3 18 16-24H25z" /></>,
  limits: <><path class="line" d="M6 36a18 18 0 0 1 36 0M24 36 36 24" /><path class="line" d="M37 20l5-5" /></>,
  design: <><path class="line" d="M4 16h40v16H4zM12 16v7M20 16v10M28 16v7M36 16v10" /></>,
};

export function Picture({ of }: { of: string }) {
  return <svg class="picture" viewBox="0 0 48 48" aria-hidden="true">{PICTURES[of] ?? ground}</svg>;
}
