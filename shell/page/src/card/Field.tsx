/* One question of the site sheet: label, value in the chosen units, what is assumed when it is left out, what is wrong. */
import { useId, useState } from 'preact/hooks';
import { maybe, useWords } from '../i18n/words';
import type { Question } from '../sheet/questions';
import { pathText, valueAt, type Path } from '../sheet/plain';
import { pretty, readQuantity, shownText, spokenNumber, typedText, unitFor } from '../sheet/quantity';
import { isAssumed } from '../sheet/assumed';
import { isWithin, problemsNow } from '../state/ask';
import { clockOf, readings } from '../sheet/typed';
import { edit, store } from '../state/job';
import { useStore } from '../state/store';

export function labelOf(language: 'en' | 'de', group: string, question: Question): string {
  const key = question.path.join('/');
  return maybe(language, `q.${group}.${key}`) ?? maybe(language, `q.${key}`) ?? String(question.path[question.path.length - 1]);
}

/** What the core took for a value that was left out. */
function assumed(path: string): string {
  const { check, size, units } = store.get();
  const taken = [...(check?.ok ? check.defaults : []), ...(size?.answer.ok && size.units === units ? size.answer.defaults : [])];
  const found = taken.find((entry) => entry.path === `site.${path}`);
  return found ? `${found.value}\u0000${found.reason}` : '';
}

/* `within`: also what stands inside of it, as the items of a list that is one field. */
function problemAt(path: string, within = false): string {
  return problemsNow(store.get()).filter((problem) => problem.paths === path || (within && isWithin(problem.paths, path)))
    .map((problem) => `${problem.warning ? '~' : '!'}${problem.words}`).join('\u0000');
}

export function Problems({ path, id, within = false }: { path: string; id?: string; within?: boolean }) {
  const found = useStore(store, () => problemAt(path, within));
  if (!found) return null;
  return (
    <div class="problems" id={id} aria-live="polite">
      {found.split('\u0000').map((text) => (
        <p class={text[0] === '~' ? 'warning' : 'error'}>{text.slice(1)}</p>
      ))}
    </div>
  );
}

/** A value that a start assumed: it says so, until it is replaced or confirmed. */
export function Assumed({ path, name }: { path: Path; name: string }) {
  const t = useWords();
  const is = useStore(store, (state) => isAssumed(state.sheet.doc.getIn(path, true)));
  if (!is) return null;
  return <p class="assumed-now row"><em class="tag">{t('assumed.mark')}</em>
    <button type="button" class="quiet" aria-label={t('assumed.so.of', { name })} onClick={() => edit.confirm(path)}>{t('assumed.so')}</button></p>;
}

interface FieldProps { group: string; base: Path; question: Question }

export function Field({ group, base, question }: FieldProps) {
  const id = useId();
  const t = useWords();
  const language = useStore(store, (state) => state.language);
  const path = [...base, ...question.path];
  const where = pathText(path);
  const raw = useStore(store, (state) => JSON.stringify(valueAt(state.sheet.site ?? undefined, path) ?? null));
  const value = JSON.parse(raw) as string | number | boolean | null;
  const takes = useStore(store, () => (value === null ? assumed(where) : ''));
  const [assumedValue, reason] = takes.split('\u0000');
  const wrong = useStore(store, () => problemAt(where).startsWith('!'));
  const help = maybe(language, `h.${group}.${question.path.join('/')}`);
  const common = {
    id, 'aria-describedby': `${id}h ${id}p`, 'aria-invalid': wrong ? ('true' as const) : undefined, 'data-path': where,
  };
  const put = (text: string): void => {
    const [list, index] = path;
    if (question.kind === 'choice' && question.path[0] === 'kind' && typeof index === 'number' && text !== '') edit.kind(String(list), index, text);
    else edit.value(path, text === '' ? undefined : question.kind === 'time' ? clockOf(text) : text);
  };
  return (
    <div class={`field field-${question.kind}`}>
      <label for={id}>{labelOf(language, group, question)}</label>
      <Assumed path={path} name={labelOf(language, group, question)} />
      <Control question={question} value={value} common={common} placeholder={assumedValue ?? ''} put={put} />
      <div class="hint" id={`${id}h`}>
        {help && <p>{help}</p>}
        {takes && <p class="assumed">{t('field.assumed', { value: assumedValue!, reason: reason! })}</p>}
      </div>
      <Problems path={where} id={`${id}p`} />
    </div>
  );
}

interface ControlProps {
  question: Question;
  value: string | number | boolean | null;
  common: Record<string, string | undefined> & { id: string };
  placeholder: string;
  put(text: string): void;
  /** What holds while there is no value: more and less begin there. */
  start?: string;
}

function Control({ question, value, common, placeholder, put }: ControlProps) {
  const t = useWords();
  switch (question.kind) {
    case 'choice':
      return <Choice options={question.options!} value={value} common={common} put={put} />;
    case 'yesno': {
      const now = value === null ? '' : value === true ? 'yes' : 'no';
      return (
        <select {...common} value={now} onChange={(event) => put(event.currentTarget.value)}>
          <option value="">{t('field.notSaid')}</option>
          <option value="yes">{t('field.yes')}</option>
          <option value="no">{t('field.no')}</option>
        </select>
      );
    }
    case 'ref':
      return <Reference list={question.list!} value={value} common={common} put={put} />;
    case 'quantity':
      return <QuantityInput question={question} value={value} common={common} placeholder={placeholder} put={put} />;
    default:
      return <TextInput value={value === null ? '' : String(value)} common={common} placeholder={placeholder} put={put} />;
  }
}

type Common = ControlProps['common'];

function Choice({ options, value, common, put }: { options: string[]; value: unknown; common: Common; put(text: string): void }) {
  const t = useWords();
  const language = useStore(store, (state) => state.language);
  return (
    <select {...common} value={value === null ? '' : String(value)} onChange={(event) => put(event.currentTarget.value)}>
      <option value="">{t('field.notSaid')}</option>
      {options.map((option) => <option value={option}>{maybe(language, `o.${option}`) ?? option}</option>)}
    </select>
  );
}

function Reference({ list, value, common, put }: { list: string; value: unknown; common: Common; put(text: string): void }) {
  const t = useWords();
  const names = useStore(store, (state) => {
    const items = state.sheet.site?.[list];
    return Array.isArray(items) ? items.map((item) => String((item as { name?: unknown }).name ?? '')).join('\n') : '';
  }).split('\n').filter(Boolean);
  const now = value === null ? '' : String(value);
  const known = now === '' || names.includes(now);
  return (
    <select {...common} value={now} onChange={(event) => put(event.currentTarget.value)}>
      <option value="">{t('field.notSaid')}</option>
      {names.map((name) => <option value={name}>{name}</option>)}
      {!known && <option value={now}>{now}</option>}
    </select>
  );
}

function TextInput({ value, common, placeholder, put }: { value: string; common: Common; placeholder: string; put(text: string): void }) {
  const [typed, setTyped] = useState<string | null>(null); // null: nothing is being typed
  const done = (text: string): void => {
    setTyped(null);
    if (text.trim() !== value) put(text.trim());
  };
  return (
    <input type="text" {...common} value={typed ?? value} placeholder={placeholder} autocomplete="off" autocapitalize="off"
      onInput={(event) => setTyped(event.currentTarget.value)} onChange={(event) => done(event.currentTarget.value)} />
  );
}

/** The next value up or down: by one in the second digit. */
export function stepped(value: number, direction: 1 | -1): number {
  const size = Math.abs(value);
  if (size === 0) return direction;
  const step = 10 ** (Math.floor(Math.log10(direction * value < 0 ? size * 0.999 : size)) - 1);
  const coarse = size / step < 20 ? step : size / step < 50 ? 2 * step : 5 * step;
  return Number((Math.round((value + direction * coarse) / coarse) * coarse).toPrecision(6));
}

export function QuantityInput({ question, value, common, placeholder, put, start = '' }: ControlProps) {
  const t = useWords();
  const units = useStore(store, (state) => state.units);
  const dimension = question.dimension!;
  const shown = value === null ? '' : shownText(String(value), dimension, units);
  const [typed, setTyped] = useState<string | null>(null); // null: nothing is being typed
  const [asked, ask] = useState<string[]>([]); // two ways to read what was typed
  const quantity = readQuantity(shown || start, dimension);
  const unit = quantity?.unit || unitFor(dimension, units);
  const take = (text: string): void => {
    setTyped(null);
    ask([]);
    if (text.trim() === shown) return;
    const ways = readings(text);
    if (ways.length > 1) ask(ways);
    else put(sheetText(ways[0] ?? text));
  };
  const sheetText = (text: string): string => {
    const bare = /^\s*-?\d+([.,]\d+)?\s*$/.test(text);
    const unitless = dimension === 'number' || (dimension === 'fraction' && !quantity?.unit && quantity !== null);
    return bare && quantity && !unitless ? `${text.trim()} ${quantity.unit}`.trim() : typedText(text, dimension, units);
  };
  const step = (direction: 1 | -1): void => {
    if (!quantity) return;
    const counted = dimension === 'number' && Number.isInteger(quantity.value); // people, draws: whole ones
    const next = counted ? Math.max(0, quantity.value + direction * Math.max(1, Math.round(Math.abs(stepped(quantity.value, direction) - quantity.value))))
      : stepped(quantity.value, direction);
    put(`${next} ${quantity.unit}`.trim());
  };
  const label = pretty(unit);
  return (
    <div class="stepper">
      <button type="button" disabled={!quantity} aria-label={t('field.less')} onClick={() => step(-1)}>−</button>
      <input type="text" inputMode={dimension === 'time' ? 'text' : 'decimal'} {...common} value={typed ?? shown}
        placeholder={placeholder || label} autocomplete="off" onInput={(event) => setTyped(event.currentTarget.value)}
        onFocus={(event) => event.currentTarget.select()} onChange={(event) => take(event.currentTarget.value)} />
      <button type="button" disabled={!quantity} aria-label={t('field.more')} onClick={() => step(1)}>+</button>
      {asked.length > 0 && (
        <div class="asked-back" role="group" aria-label={t('field.which')}>
          <p>{t('field.which')}</p>
          {asked.map((way) => <button type="button" onClick={() => { ask([]); put(sheetText(way)); }}>{spokenNumber(pretty(sheetText(way)))}</button>)}
        </div>
      )}
    </div>
  );
}
