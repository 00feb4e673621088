/* Colours for canvas drawings, taken from the style sheet, so that light and dark are decided in one place. Asking the
 * document costs more than drawing, so what it said is kept until the light changes. */
const known = new Map<string, string>();

export function colour(name: string): string {
  let found = known.get(name);
  if (found === undefined) {
    found = getComputedStyle(document.documentElement).getPropertyValue(`--${name}`).trim();
    known.set(name, found);
  }
  return found;
}

export function otherLight(): void {
  known.clear();
}

matchMedia('(prefers-color-scheme: dark)').addEventListener('change', otherLight);
matchMedia('print').addEventListener('change', otherLight);
