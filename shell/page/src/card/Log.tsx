/* The place for a log: a logger's file, or a few readings; how it was understood, the log drawn with what was found, the verdict with its
 * rivals, and what to do next. Found by the core (docs/diagnosis.md), here in the browser: nothing is sent anywhere. */
import { useId, useState } from 'preact/hooks';
import type { Diagnosis, LogRead } from '../core/door';
import { useWords, type Key } from '../i18n/words';
import { LogCharts } from '../plot/LogCharts';
import { digits, show, showTime, spokenNumber } from '../sheet/quantity';
import { SIGNALS } from '../sheet/signals';
import { fileName, giveFile } from '../state/file';
import { judgeReadings, log, READING, readLog, stopLog, takeFile, type Reading } from '../state/log';
import { store } from '../state/job';
import { useStore } from '../state/store';
import { Safety, siteCautions } from './Caution';

function Drop() {
  const t = useWords();
  const id = useId();
  const [over, lie] = useState(false);
  const take = (files: FileList | null | undefined): void => { if (files?.[0]) void takeFile(files[0]); };
  return (
    <div class={over ? 'drop over' : 'drop'} onDragOver={(event) => { event.preventDefault(); lie(true); }} onDragLeave={() => lie(false)}
      onDrop={(event) => { event.preventDefault(); lie(false); take(event.dataTransfer?.files); }}>
      <label for={id}><b>{t('log.file')}</b> {t('log.file.says')}</label>
      <input type="file" id={id} accept=".csv,.txt,.tsv,.gz,text/csv" onChange={(event) => { take(event.currentTarget.files); event.currentTarget.value = ''; }} />
    </div>
  );
}

/* One column: what it is taken for, to be changed. */
function Column({ name, signal, unit, guessed, first }: { name: string; signal: string; unit: string; guessed: boolean; first: number | null }) {
  const t = useWords();
  const units = useStore(store, (state) => state.units);
  const known = SIGNALS[signal];
  const choices = known ? [...new Set([unit, ...known.units])] : [];
  const say = (is: string): void => {
    log.set({ columns: { ...log.get().columns, [name]: is } });
    void readLog();
  };
  return (
    <li class="column" data-column={name}>
      <p><b>{name}</b> {guessed && <em class="tag">{t('log.guessed')}</em>} {known && first !== null && t('log.first', { value: show(first, known.of, units) })}</p>
      <div class="row">
        <select aria-label={t('log.column.is', { name })} value={signal} onChange={(event) => {
          const now = event.currentTarget.value;
          say(now === '-' ? '-' : `${now} ${SIGNALS[now]!.units[0]}`.trim());
        }}>
          <option value="-">{t('log.not')}</option>
          {Object.keys(SIGNALS).map((one) => <option value={one}>{t(`log.signal.${one}` as Key)}</option>)}
        </select>
        {choices.length > 1 && <select aria-label={t('log.column.unit', { name })} value={unit} onChange={(event) => say(`${signal} ${event.currentTarget.value}`)}>
          {choices.map((one) => <option value={one}>{one || '–'}</option>)}
        </select>}
      </div>
    </li>
  );
}

const SEPARATORS: Record<string, Key> = { ',': 'log.comma', ';': 'log.semicolon', '\t': 'log.tab', '|': 'log.bar', ' ': 'log.blank' };

function Understood({ read }: { read: LogRead }) {
  const t = useWords();
  const { plan, lines, rows, drawn } = read;
  const said = useStore(log, (state) => state.columns);
  const left = Object.keys(said).filter((name) => said[name] === '-' && !plan.unused.includes(name));
  return (
    <details class="more" data-log="understood" open>
      <summary>{t('log.understood', { n: plan.columns.length })}</summary>
      <p>{t('log.plan', { rows, time: showTime(drawn.until_s - drawn.from_s), separator: t(SEPARATORS[plan.separator] ?? 'log.comma'),
        decimal: t(plan.decimal_comma ? 'log.decimal.comma' : 'log.decimal.point'), column: plan.time })}</p>
      {plan.either_order && <p class="warning">{t('log.either')}</p>}
      {lines.bad_time > 0 && <p class="warning">{t('log.badTime', { n: lines.bad_time, line: lines.first_bad_line })}</p>}
      <ul class="plain">
        {plan.columns.map((column) => <Column key={column.name} {...column} />)}
        {[...left, ...plan.unused].map((name) => <Column key={name} name={name} signal="-" unit="" guessed={false} first={null} />)}
      </ul>
      {plan.unused_count > plan.unused.length && <p>{t('log.more', { n: plan.unused_count - plan.unused.length })}</p>}
    </details>
  );
}

const GAUGE: Reading['what'][] = ['gauge at rest', 'gauge with the pump shut off'];
const WHATS: Reading['what'][] = ['quiet counters', 'counters', ...GAUGE];

function OneReading({ index, reading }: { index: number; reading: Reading }) {
  const t = useWords();
  const id = useId();
  const put = (change: Partial<Reading>): void => log.set({ readings: log.get().readings.map((one, i) => (i === index ? { ...one, ...change } : one)) });
  const box = (key: 'over' | 'starts' | 'ran' | 'from' | 'to', example: string) => (
    <div class="field"><label for={id + key}>{t(`log.read.${key}` as Key)}</label>
      <input type="text" id={id + key} data-reading={key} value={reading[key]} placeholder={example} autocomplete="off" inputMode={key === 'starts' ? 'numeric' : undefined}
        onInput={(event) => put({ [key]: event.currentTarget.value })} /></div>
  );
  const gauge = GAUGE.includes(reading.what);
  return (
    <fieldset class="item reading">
      <legend>{t('log.reading', { n: index + 1 })}</legend>
      <div class="fields">
        <div class="field"><label for={`${id}what`}>{t('log.read.what')}</label>
          <select id={`${id}what`} value={reading.what} onChange={(event) => put({ what: event.currentTarget.value as Reading['what'] })}>
            {WHATS.map((what) => <option value={what}>{t(`log.what.${what}` as Key)}</option>)}
          </select></div>
        {gauge ? <>{box('from', '380 kPa')}{box('to', '330 kPa')}{box('over', '6 min')}</> : <>{box('starts', '14')}{box('ran', '21 min')}{box('over', '9 h')}</>}
      </div>
      {index > 0 && <button type="button" class="quiet" onClick={() => log.set({ readings: log.get().readings.filter((_, i) => i !== index) })}>{t('log.read.remove', { n: index + 1 })}</button>}
    </fieldset>
  );
}

function Readings() {
  const t = useWords();
  const readings = useStore(log, (state) => state.readings);
  const busy = useStore(log, (state) => state.busy !== null);
  const site = useStore(store, (state) => state.sheet.site !== null);
  return (
    <details class="more" data-log="readings">
      <summary>{t('log.readings')}</summary>
      <p>{t('log.readings.says')}</p>
      {readings.map((reading, index) => <OneReading key={index} index={index} reading={reading} />)}
      <p class="row">
        {readings.length < 8 && <button type="button" onClick={() => log.set({ readings: [...readings, READING] })}>{t('log.read.add')}</button>}
        <button type="button" class="strong" disabled={busy || !site} onClick={() => void judgeReadings()}>{t('log.judge')}</button>
      </p>
    </details>
  );
}

const WORTH = 0.03; // what is less probable stands in the whole paper only

function Verdict({ verdict, from }: { verdict: Diagnosis; from: 'log' | 'readings' }) {
  const t = useWords();
  const [best, ...rest] = verdict.hypotheses;
  const percent = (p: number): string => `${spokenNumber(digits(100 * p, 2))} %`;
  const units = useStore(store, (state) => state.units);
  const open = verdict.log?.standing.find((one) => !one.ended); // found by the meter alone, whatever the list says
  const rivals = rest.filter((one) => one.probability >= WORTH);
  if (!best) return null;
  return (
    <div class="diagnosed" data-log="verdict">
      <h3>{t('log.verdict')}</h3>
      <p class="headline">{t(verdict.explained ? 'log.best' : 'log.unexplained', { what: best.words, p: percent(best.probability) })}</p>
      {open && <p class="warning">{t('log.stands', { size: show(open.size_m3s.best, 'flow', units, 2) })}</p>}
      <h4>{t('log.rivals')}</h4>
      {rivals.length === 0 ? <p>{t('log.noRivals', { p: percent(WORTH) })}</p> : <ul class="rivals">{[best, ...rivals].map((one) => (
        <li><span class="bar-of" style={{ width: `${100 * one.probability}%` }} aria-hidden="true" /><span>{one.words}</span> <b>{percent(one.probability)}</b></li>))}</ul>}
      <h4>{t('log.next')}</h4>
      {verdict.next.length === 0 ? <p>{t('log.noNext')}</p> : <ol class="next-tests">{verdict.next.slice(0, 3).map((one) => <li>{one.words}</li>)}</ol>}
      {verdict.text && <details class="more"><summary>{t('log.whole')}</summary><pre class="paper-text" tabIndex={0}>{verdict.text}</pre></details>}
      {verdict.html && <button type="button" class="quiet" onClick={() => giveFile(fileName(from === 'log' ? 'log.html' : 'readings.html'), verdict.html!, 'text/html')}>{t('log.save')}</button>}
    </div>
  );
}

export function Log() {
  const t = useWords();
  const { name, read, verdict, from, busy, problem } = useStore(log, (state) => state);
  const cautions = useStore(store, (state) => siteCautions(state.sheet.site).join(' '));
  return (
    <>
      <p class="says">{t('log.says')}</p>
      <Drop />
      <Readings />
      {name && <p><b>{name}</b></p>}
      {busy && <div class="running-proof"><p role="status">{t(busy === 'reading' ? 'log.reads' : 'log.judges')}</p><progress aria-label={t('log.judges')} />
        <button type="button" onClick={stopLog}>{t('proof.cancel')}</button></div>}
      {problem && <p class="error" role="alert">{problem === 'log.few' || problem === 'log.unreadable' ? t(problem) : problem}</p>}
      {verdict && <Verdict verdict={verdict} from={from} />}
      {read && <LogCharts read={read} verdict={from === 'log' ? verdict : null} />}
      {read && <Understood read={read} />}
      <Safety names={cautions.split(' ').filter(Boolean)} />
    </>
  );
}
