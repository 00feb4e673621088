/* A measured flow from a CSV file, as the program itself reads it (shell/adapt/csv_trace.c; docs/demand.md): rows of time
 * and value become steps of flow. Held together with the program by a test on the project's own measured files. */
import { FACTORS } from './quantity';

export interface Ask { time: string; flow: string; unit: string; step_s: number }
export interface Steps { times: number[]; flows: number[] } // s, L/s

const DAY = 86400;

/** Rows of fields; quotes may hold separators and line ends. */
function rowsOf(text: string, separator: string): string[][] {
  const rows: string[][] = [];
  let row: string[] = [];
  let field = '';
  let quoted = false;
  for (let i = 0; i < text.length; i++) {
    const c = text[i]!;
    if (quoted) {
      if (c !== '"') field += c;
      else if (text[i + 1] === '"') { field += c; i++; } else quoted = false;
    } else if (c === '"' && field.trim() === '') {
      quoted = true;
      field = '';
    } else if (c === separator) {
      row.push(field.trim());
      field = '';
    } else if (c === '\n' || c === '\r') {
      if (c === '\r' && text[i + 1] === '\n') i++;
      rows.push([...row, field.trim()]);
      row = [];
      field = '';
    } else field += c;
  }
  if (field !== '' || row.length) rows.push([...row, field.trim()]);
  return rows.filter((fields) => !(fields[0] ?? '').startsWith('#') && fields.some((entry) => entry !== ''));
}

/** Seconds, and whether the text is a date. null: no time. */
function timeOf(text: string): { s: number; dated: boolean } | null {
  if (/^-?\d+(\.\d+)?$/.test(text)) {
    const value = Number(text);
    return value >= 1e11 ? { s: value / 1000, dated: true } : { s: value, dated: value >= 1e8 };
  }
  const match = /^(\d{1,4})([-/.])(\d{1,2})\2(\d{1,4})(?:[T ]\s*(\d{1,2}):(\d{2})(?::(\d{2}(?:\.\d+)?))?)?$/.exec(text);
  if (!match) return null;
  const [, a, mark, b, c, h = '0', min = '0', s = '0'] = match;
  const yearFirst = a!.length === 4 || mark === '-';
  const [year, month, day] = yearFirst ? [Number(a), Number(b), Number(c)] : [Number(c), Number(b), Number(a)];
  const full = year! < 100 ? 2000 + year! : year!;
  if (month! < 1 || month! > 12 || day! < 1 || day! > 31) return null;
  return { s: Date.UTC(full, month! - 1, day!) / 1000 + Number(h) * 3600 + Number(min) * 60 + Number(s), dated: true };
}

function unitOf(unit: string): { factor: number; amounts: boolean } | null {
  const match = /^\s*(\d+(?:\.\d+)?)?\s*(.*?)\s*$/.exec(unit)!;
  const count = match[1] === undefined ? 1 : Number(match[1]);
  const flow = FACTORS.flow[match[2]!];
  if (flow !== undefined) return { factor: count * flow, amounts: false };
  const volume = FACTORS.volume[match[2]!];
  return volume !== undefined ? { factor: count * volume, amounts: true } : null;
}

function column(name: string, heading: string[]): number {
  const number = /^(?:column )?(\d+)$/.exec(name);
  if (number) return Number(number[1]) - 1;
  return heading.findIndex((entry) => entry.toLowerCase() === name.toLowerCase());
}

interface Row { s: number; value: number }

function readRows(text: string, ask: Ask, amounts: boolean): { rows: Row[]; dated: boolean } | null {
  const separator = [',', ';', '\t'].map((mark) => ({ mark, n: text.split(mark).length })).sort((a, b) => b.n - a.n)[0]!.mark;
  const all = rowsOf(text.replace(/^\uFEFF/, ''), separator);
  const byNumber = /^(?:column )?\d+$/.test(ask.time) && /^(?:column )?\d+$/.test(ask.flow);
  const at = byNumber ? -1 : all.findIndex((fields) => column(ask.time, fields) >= 0 && column(ask.flow, fields) >= 0);
  if (at < 0 && !byNumber) return null;
  const [timeAt, flowAt] = [column(ask.time, all[at] ?? []), column(ask.flow, all[at] ?? [])];
  const rows: Row[] = [];
  let dated = false;
  for (const fields of all.slice(at + 1)) {
    const time = timeOf(fields[timeAt] ?? '');
    const text = separator === ';' ? (fields[flowAt] ?? '').replace(',', '.') : fields[flowAt] ?? '';
    const value = text === '' ? NaN : Number(text);
    if (!time || !Number.isFinite(value) || value < 0) continue;
    const s = Math.floor(time.s * 1000 + 0.5) / 1000;
    const last = rows[rows.length - 1];
    if (!last) dated = time.dated;
    if (last && s < last.s) continue;
    if (last && s === last.s) last.value = (amounts ? last.value : 0) + value;
    else rows.push({ s, value });
  }
  return { rows, dated };
}

export function stepsOf(text: string, ask: Ask): Steps | null {
  const unit = unitOf(ask.unit);
  const read = unit ? readRows(text, ask, unit.amounts) : null;
  if (!unit || !read || read.rows.length === 0) return null;
  const { rows, dated } = read;
  const gaps = rows.slice(1).map((row, i) => row.s - rows[i]!.s).sort((a, b) => a - b);
  const usual = gaps.length ? gaps[Math.floor(gaps.length / 2)]! : 0;
  const step = ask.step_s > 0 ? ask.step_s : unit.amounts ? usual : 0;
  if ((step > 0 ? step : usual) < 0.001) return null;
  const times: number[] = [];
  const flows: number[] = [];
  const push = (time: number, flow: number): void => {
    const whole = Math.floor(time * 1000 + 0.5) / 1000;
    if (times.length && times[times.length - 1]! >= whole) { times.pop(); flows.pop(); }
    if (times.length && flows[flows.length - 1] === flow) return;
    times.push(whole);
    flows.push(flow);
  };
  const first = rows[0]!.s;
  const zero = dated ? Math.floor(first / DAY) * DAY : Math.min(first, 0);
  let end = first;
  push(0, 0);
  rows.forEach((row, i) => {
    const gap = i + 1 < rows.length ? rows[i + 1]!.s - row.s : step > 0 ? step : usual;
    const silence = step > 0 && gap > 1.5 * step;
    const hold = silence ? step : gap;
    push(row.s - zero, (row.value * unit.factor) / (unit.amounts ? hold : 1));
    end = row.s + hold;
    if (silence) push(end - zero, 0);
  });
  const length = end - zero;
  const whole = dated ? Math.ceil(length / DAY - 1e-9) * DAY : length;
  push(length, 0);
  if (times[times.length - 1]! < whole) { times.push(whole); flows.push(0); }
  return { times, flows: flows.map((flow) => flow * 1000) };
}
