/* Fields whose value is a small list: fittings with counts, 24 numbers of a day, days of the week, hours of a contact. */
import { useId, useState } from 'preact/hooks';
import { useWords } from '../i18n/words';
import { pathText, valueAt, type Path, type Plain } from '../sheet/plain';
import type { Question } from '../sheet/questions';
import { edit, store } from '../state/job';
import { useStore } from '../state/store';
import { labelOf, Problems } from './Field';

interface ListProps { group: string; base: Path; question: Question }

function ListText({ group, base, question, help, write, read }: ListProps & {
  help: string; write(value: Plain): string; read(text: string): Plain | undefined;
}) {
  const id = useId();
  const language = useStore(store, (state) => state.language);
  const path = [...base, ...question.path];
  const text = useStore(store, (state) => write(valueAt(state.sheet.site ?? undefined, path) ?? null));
  const [typed, setTyped] = useState<string | null>(null); // null: nothing is being typed
  return (
    <div class="field">
      <label for={id}>{labelOf(language, group, question)}</label>
      <input type="text" id={id} value={typed ?? text} autocomplete="off" aria-describedby={`${id}h`} data-path={pathText(path)}
        onInput={(event) => setTyped(event.currentTarget.value)}
        onChange={(event) => {
          const now = event.currentTarget.value;
          setTyped(null);
          if (now.trim() !== text) edit.value(path, read(now));
        }} />
      <div class="hint" id={`${id}h`}><p>{help}</p></div>
      <Problems path={pathText(path)} within />
    </div>
  );
}

export function Counts(props: ListProps) {
  const t = useWords();
  const write = (value: Plain): string => value !== null && typeof value === 'object' && !Array.isArray(value)
    ? Object.entries(value).map(([name, count]) => `${name}: ${count}`).join(', ') : '';
  const read = (text: string): Plain | undefined => {
    const made: { [key: string]: Plain } = {};
    for (const part of text.split(/[,;]/).map((entry) => entry.trim()).filter(Boolean)) {
      const match = /^(.*?)\s*[:x=]?\s*(\d+)\s*$/.exec(part);
      const other = /^(\d+)\s*x?\s+(.+)$/.exec(part);
      if (other) made[other[2]!] = Number(other[1]);
      else if (match && match[1] && part.includes(':')) made[match[1]] = Number(match[2]);
      else made[part] = 1;
    }
    return Object.keys(made).length ? made : undefined;
  };
  return <ListText {...props} help={t('field.counts')} write={write} read={read} />;
}

export function Numbers(props: ListProps) {
  const t = useWords();
  const words = props.question.kind === 'words';
  const write = (value: Plain): string => (Array.isArray(value) ? value.join(', ') : value === null ? '' : String(value));
  const read = (text: string): Plain | undefined => {
    const parts = text.split(/[,;\s]+/).filter(Boolean);
    return parts.length ? parts.map((part) => (words || Number.isNaN(Number(part)) ? part : Number(part))) : undefined;
  };
  return <ListText {...props} help={words ? t('field.days') : t('field.pattern')} write={write} read={read} />;
}

/** Times of the day, as 04:30-07:50, 22:00-24:00. What is no such pair stays as it was typed, and the core says what is wrong. */
export function Spans(props: ListProps) {
  const t = useWords();
  const write = (value: Plain): string => (Array.isArray(value) ? value.map((entry) => {
    const span = entry as { from?: Plain; to?: Plain } | null;
    return span && typeof span === 'object' ? `${span.from ?? ''}-${span.to ?? ''}` : String(entry);
  }).join(', ') : value === null ? '' : String(value));
  const read = (text: string): Plain | undefined => {
    const parts = text.split(/[,;]/).map((entry) => entry.trim()).filter(Boolean);
    const clock = (time: string): string => (/^\d:/.test(time) ? `0${time}` : /^\d{1,2}$/.test(time) ? `${time.padStart(2, '0')}:00` : time);
    return parts.length === 0 ? undefined : parts.map((part) => {
      const match = /^([\d:]+)\s*(?:-|–|to|bis)\s*([\d:]+)$/.exec(part);
      return match ? { from: clock(match[1]!), to: clock(match[2]!) } : part;
    });
  };
  return <ListText {...props} help={t('field.spans')} write={write} read={read} />;
}
