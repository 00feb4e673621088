/* Numbers and times as people type them. What can be read in one way only is read; what can be read in two is asked back, and never
 * changed in silence. */

/* A group of three digits after a sign may be thousands, or decimals: 1,500 and 1.500 are one and a half, or fifteen hundred. */
const AMBIGUOUS = /^(-?[1-9]\d{0,2})([.,])(\d{3})$/;

/** The ways to read the number at the beginning of a text, each with the rest of the text; none when it begins with no number. */
export function readings(text: string): string[] {
  const match = /^\s*(-?\d(?:[\d.,'’   ]*\d)?)(.*)$/.exec(text);
  if (!match) return [];
  const rest = match[2]!.trim();
  const number = match[1]!.replace(/['’   ](?=\d{3}(\D|$))/g, '');
  const made = (value: string): string => `${value} ${rest}`.trim();
  const either = AMBIGUOUS.exec(number);
  if (either) return [made(`${either[1]}.${either[3]}`.replace(/0+$/, '').replace(/\.$/, '')), made(`${either[1]}${either[3]}`)];
  if (/^-?\d{1,3}(,\d{3})+\.\d+$/.test(number) || /^-?\d{1,3}(,\d{3}){2,}$/.test(number)) return [made(number.replace(/,/g, ''))];
  if (/^-?\d{1,3}(\.\d{3})+,\d+$/.test(number) || /^-?\d{1,3}(\.\d{3}){2,}$/.test(number)) return [made(number.replace(/\./g, '').replace(',', '.'))];
  if (/^-?\d+,\d+$/.test(number)) return [made(number.replace(',', '.'))];
  return /^-?\d+(\.\d+)?$/.test(number) ? [made(number)] : [];
}

/** A time of day as the sheet has it: 6am, 6:00, 0600, 6.30 pm. What is no time stays as it was typed, and the core says so. */
export function clockOf(text: string): string {
  const match = /^\s*(\d{1,2})(?:[:.h]?(\d{2}))?\s*(am|pm|a\.m\.|p\.m\.|h|uhr)?\s*$/i.exec(text);
  if (!match) return text.trim();
  const half = match[3]?.[0]?.toLowerCase();
  const hour = Number(match[1]);
  const twelve = half === 'a' || half === 'p';
  if (hour > 24 || Number(match[2] ?? 0) > 59 || (twelve && (hour < 1 || hour > 12))) return text.trim();
  const shown = twelve ? (hour % 12) + (half === 'p' ? 12 : 0) : hour;
  return `${String(shown).padStart(2, '0')}:${match[2] ?? '00'}`;
}
