/* The place "Advice": what is asked for, the search with its progress, the trade-off to choose from, the list to type with reasons and
 * margins, and what no setting can close. All of it is found by the core (docs/door.md, advise). */
import { told } from 'core:told';
import { useId } from 'preact/hooks';
import type { Advice as Found, Advised, Trade, Typed } from '../core/door';
import { useWords, type Key } from '../i18n/words';
import { Tradeoff } from '../plot/Tradeoff';
import { sentencesOf } from '../plot/DayCharts';
import { fixed, show, showTime, spokenNumber } from '../sheet/quantity';
import { advice, advise, cancelAdvice, type Wanted } from '../state/advice';
import { store } from '../state/job';
import { adopt } from '../state/prove';
import { useStore } from '../state/store';
import { Safety, settingsCautions } from './Caution';

const YEARS = [1, 3, 10, 30, 100];
const BORNE = ['1 in 1 year', '1 in 2 years', '1 in 5 years', '1 in 10 years'];

const want = (change: Partial<Wanted>): void => advice.set({ wanted: { ...advice.get().wanted, ...change } });

function Choice({ label, value, options, choose }: { label: string; value: string; options: [string, string][]; choose(value: string): void }) {
  const id = useId();
  return (
    <div class="field">
      <label for={id}>{label}</label>
      <select id={id} value={value} onChange={(event) => choose(event.currentTarget.value)}>
        {options.map(([name, words]) => <option value={name}>{words}</option>)}
      </select>
    </div>
  );
}

function Price({ label, value, put }: { label: string; value: string; put(value: string): void }) {
  const id = useId();
  return (
    <div class="field">
      <label for={id}>{label}</label>
      <input type="text" inputMode="decimal" id={id} value={value} autocomplete="off" onChange={(event) => {
        const typed = event.currentTarget.value.trim().replace(',', '.');
        if (/^\d+(\.\d+)?$/.test(typed)) put(typed);
        else event.currentTarget.value = value;
      }} />
    </div>
  );
}

function Tick({ label, on, turn }: { label: string; on: boolean; turn(on: boolean): void }) {
  return <label class="tick"><input type="checkbox" checked={on} onChange={(event) => turn(event.currentTarget.checked)} /> <span>{label}</span></label>;
}

/* What the search is told: how much may be borne, prices, what the controller can do, what stays. */
function Asked() {
  const t = useWords();
  const wanted = useStore(advice, (state) => state.wanted);
  const sentences = useStore(store, (state) => JSON.stringify(sentencesOf(state.sheet.site).filter((_, i) => state.settings?.ok && state.settings.sentences[i]?.watch)));
  const able = wanted.able ?? [...told.watches];
  const turn = (list: string[], one: string, on: boolean): string[] => (on ? [...list, one] : list.filter((other) => other !== one));
  return (
    <details class="more">
      <summary>{t('advice.asked')}</summary>
      <div class="fields">
        <Choice label={t('advice.most')} value={wanted.most} choose={(most) => want({ most })}
          options={BORNE.map((one) => [one, t('advice.borne', { years: /in (\d+)/.exec(one)![1]! })])} />
        <Choice label={t('advice.years')} value={String(wanted.years)} choose={(years) => want({ years: Number(years) })}
          options={YEARS.map((years) => [String(years), String(years)])} />
        <Price label={t('advice.water')} value={wanted.water} put={(water) => want({ water })} />
        <Price label={t('advice.callOut')} value={wanted.callOut} put={(callOut) => want({ callOut })} />
        <Price label={t('advice.pump')} value={wanted.pump} put={(pump) => want({ pump })} />
      </div>
      <h3>{t('advice.able')}</h3>
      {told.watches.map((form) => <Tick key={form} label={t(`advice.form.${form}` as Key)} on={able.includes(form)}
        turn={(on) => want({ able: turn(able, form, on) })} />)}
      {sentences !== '[]' && <h3>{t('advice.keep')}</h3>}
      {(JSON.parse(sentences) as string[]).map((words) => <Tick key={words} label={words} on={wanted.keep.includes(words)}
        turn={(on) => want({ keep: turn(wanted.keep, words, on) })} />)}
    </details>
  );
}

function Running() {
  const t = useWords();
  const progress = useStore(advice, (state) => state.progress);
  if (!progress) return null;
  return (
    <div class="running-proof" data-advice="runs">
      <p>{t('advice.computing')} <b>{Math.round((100 * progress.done) / progress.parts)} %</b>
        {progress.left_s !== null && <> {t('proof.left', { time: showTime(Math.ceil(progress.left_s)) })}</>}</p>
      <progress max={progress.parts} value={progress.done} aria-label={t('advice.progress')} />
      <button type="button" class="strong" onClick={cancelAdvice}>{t('proof.cancel')}</button>
    </div>
  );
}

/* A sentence of the list; the same sentence of the advised list lends its reason and margins. */
function Line({ line, from }: { line: Typed; from: Advised | undefined }) {
  const t = useWords();
  return (
    <li class={line.differs ? 'to-type differs' : 'to-type'}>
      <p class="words"><b>{line.words}</b> {line.differs && <em class="tag">{t(line.was === null ? 'advice.new' : 'advice.changed')}</em>}</p>
      {from?.why && <p class="why">{from.why}</p>}
      {from?.why && <dl class="margins">
        <div><dt>{t('advice.stopsFrom')}</dt><dd>{from.stops_from ?? t('advice.none')}</dd></div>
        <div><dt>{t('advice.missesFrom')}</dt><dd>{from.misses_from ?? t('advice.none')}</dd></div>
        {from.earns_a !== undefined && <div><dt>{t('advice.earns')}</dt><dd>{spokenNumber(String(Math.round(from.earns_a)))}</dd></div>}
      </dl>}
    </li>
  );
}

function Costs({ found, chosen }: { found: Found; chosen: Trade }) {
  const t = useWords();
  const units = useStore(store, (state) => state.units);
  const row = (name: Key, trade: Trade) => (
    <tr><th scope="row">{t(name)}</th><td>{t('advice.of', { n: trade.years_stopped, all: found.years })}</td>
      <td>{t('advice.of', { n: trade.unseen, all: found.faults })}</td><td>{show(trade.lost_m3_a, 'volume', units, 2)}</td><td>{spokenNumber(String(Math.round(trade.cost_a)))}</td></tr>
  );
  return (
    <div class="wide-table" tabIndex={0} role="region" aria-label={t('advice.costs')}>
      <table class="costs fits">
        <thead><tr><td /><th scope="col">{t('advice.stopped')}</th><th scope="col">{t('advice.unseen')}</th><th scope="col">{t('advice.lost')}</th><th scope="col">{t('advice.cost')}</th></tr></thead>
        <tbody>{row('advice.present', found.present)}{row('advice.chosen', chosen)}{row('advice.without', found.without)}</tbody>
      </table>
    </div>
  );
}

function Blind({ found }: { found: Found }) {
  const t = useWords();
  const units = useStore(store, (state) => state.units);
  return (
    <>
      <h3>{t('advice.blind')}</h3>
      {found.blind.length === 0 && <p>{t('advice.blind.none')}</p>}
      <ul class="plain">{found.blind.map((band) => (
        <li><b>{t('proof.band', { from: show(band.from_m3s, 'flow', units), to: show(band.to_m3s, 'flow', units) })}</b>{' '}
          {t('proof.perDay', { lost: show(band.lost_m3d, 'volume', units) })}</li>))}</ul>
      {found.blind.length > 0 && <p>{t('advice.blind.test')}</p>}
    </>
  );
}

function Result({ found, stale }: { found: Found; stale: boolean }) {
  const t = useWords();
  const point = useStore(advice, (state) => state.point);
  const trade = point === null ? null : found.trade_off[point] ?? null;
  const list: Typed[] = trade ? trade.settings : found.settings;
  const changed = list.filter((line) => line.differs).length;
  const gone = useStore(store, (state) => sentencesOf(state.sheet.site).length) - list.filter((line) => line.was !== null).length;
  return (
    <div class={stale ? 'stale' : ''} data-advice="there">
      {stale && <p class="kind" role="status">{t('advice.stale')}</p>}
      <p class="headline">{found.changes ? t('advice.headline', { n: found.settings.filter((line) => line.differs).length }) : t('advice.stays')}</p>
      <p>{found.upper_a === null ? t('advice.noBound', { n: found.advised.years_stopped, years: found.years })
        : t('advice.bound', { n: found.advised.years_stopped, years: found.years, upper: fixed(found.upper_a, 2) })}</p>
      <h3>{t('advice.trade')}</h3>
      <Tradeoff found={found} point={point} choose={(chosen) => advice.set({ point: chosen })} />
      <h3>{t('advice.type')}</h3>
      <p role="status">{t(trade ? 'advice.list.point' : 'advice.list', { n: changed, gone: Math.max(0, gone) })}</p>
      <ol class="typed">{list.map((line) => <Line line={line} from={found.settings.find((one) => one.words === line.words)} />)}</ol>
      <p class="row"><button type="button" class="strong" disabled={stale || (changed === 0 && gone <= 0)} onClick={() => adopt(list)}>{t('advice.take')}</button></p>
      <h3>{t('advice.costs')}</h3>
      <Costs found={found} chosen={trade ?? found.advised} />
      <Blind found={found} />
      {found.checked && <p>{t('advice.checked', { same: found.checked.same, jobs: found.checked.jobs })}</p>}
      <p>{t('advice.before')}</p>
    </div>
  );
}

export function Advice() {
  const t = useWords();
  const { answer, sheet, units, progress, problem } = useStore(advice, (state) => state);
  const text = useStore(store, (state) => state.sheet.text);
  const shown = useStore(store, (state) => state.units);
  const cautions = useStore(store, (state) => settingsCautions(sentencesOf(state.sheet.site)).join(' '));
  return (
    <>
      <p class="says">{t('advice.says')}</p>
      <Asked />
      {!progress && <p class="row"><button type="button" class="strong" onClick={() => void advise()}>{t(answer ? 'advice.again' : 'advice.look')}</button></p>}
      <Running />
      {problem && <p class="error" role="alert">{problem}</p>}
      {answer && <Result found={answer} stale={sheet !== text || units !== shown} />}
      <Safety names={cautions.split(' ')} />
    </>
  );
}
