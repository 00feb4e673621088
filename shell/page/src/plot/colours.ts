/* Colours for canvas drawings, taken from the style sheet, so that light and dark are decided in one place. */
export function colour(name: string): string {
  return getComputedStyle(document.documentElement).getPropertyValue(`--${name}`).trim();
}
