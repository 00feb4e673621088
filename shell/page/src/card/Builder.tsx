/* Building a sentence by tapping: what to do, when, how much, for how long. The core reads it back before it is added. */
import { useEffect, useState } from 'preact/hooks';
import type { SettingsLine, Problem } from '../core/door';
import { useWords, type Key } from '../i18n/words';
import type { Plain } from '../sheet/plain';
import { sentencesOf } from '../plot/DayCharts';
import { askOnce, siteForCore } from '../state/ask';
import { edit, store } from '../state/job';
import { useStore } from '../state/store';
import { DOOR_UNITS, type Units } from '../core/door';

type Act = 'start when' | 'stop when' | 'lock out when' | 'warn when' | 'rest' | 'ignore' | 'run at least' | 'run on' | 'keep running while' | 'retry' | 'release';

const ACTS: Act[] = ['lock out when', 'warn when', 'start when', 'stop when', 'rest', 'ignore', 'run at least', 'run on', 'keep running while', 'retry', 'release'];

/* What is sensed, from the sheet's own sensors; the words around the number. */
function conditions(site: { [key: string]: Plain } | null, units: Units): string[] {
  const sensors = (Array.isArray(site?.sensors) ? site!.sensors : []) as { [key: string]: Plain }[];
  const of = (kind: string): string[] => sensors.filter((sensor) => sensor.kind === kind).map((sensor) => String(sensor.name));
  const named = (names: string[], joint: string): string[] => (names.length === 1 ? [''] : names.map((name) => `${joint}${name}`));
  const pressure = { metric: ['250 kPa', '400 kPa'], bar: ['2.5 bar', '4 bar'], us: ['36 psi', '58 psi'] }[units];
  const made: string[] = [];
  for (const name of named(of('pressure'), ' at ')) made.push(`pressure${name} below ${pressure[0]}`, `pressure${name} above ${pressure[1]}`);
  for (const name of named(of('level'), ' of ')) made.push(`level${name} below ${units === 'us' ? '3 ft' : '1 m'}`, `level${name} above ${units === 'us' ? '6 ft' : '2 m'}`);
  for (const name of named(of('flow switch'), ' at ')) made.push(`no flow${name}`, `flow${name}`);
  for (const name of named(of('probe'), ' ')) made.push(`probe${name} dry`, `probe${name} wet`);
  for (const name of named([...of('contact'), ...of('pressure switch')], ' ')) made.push(`contact${name} open`, `contact${name} closed`);
  for (const name of named(of('filter drop'), ' of ')) made.push(`filter drop${name} above ${units === 'us' ? '9 psi' : '60 kPa'}`);
  return [...made, 'starts reach 15 in 1 h', 'running for 90 min', 'stopped for 24 h', 'current below 3 A', 'current above 9 A', 'winding above 120 degC'];
}

const TIMED = ['', '1 s', '5 s', '10 s', '30 s', '1 min', '5 min'];

function sentenceOf(act: Act, picked: string[], joint: string, time: string): string {
  const condition = picked.join(` ${joint} `);
  switch (act) {
    case 'rest': return `rest ${time || '10 s'} after stop`;
    case 'run at least': return `run at least ${time || '30 s'}`;
    case 'run on': return `run on ${time || '30 s'} after stop condition`;
    case 'ignore': return `ignore ${picked[0] ?? ''} for ${time || '15 s'} after start`;
    case 'retry': return 'retry after 5 min, then 30 min, then 2 h up to 3 times';
    case 'release': return 'release by itself after 2 h';
    case 'keep running while': return `keep running while ${condition}`;
    default: return `${act} ${condition}${time ? ` for ${time}` : ''}`;
  }
}

const needsCondition = (act: Act): boolean => !['rest', 'run at least', 'run on', 'retry', 'release'].includes(act);
const takesTime = (act: Act): boolean => !['retry', 'release', 'keep running while'].includes(act);

function Chips({ label, options, chosen, choose }: { label: string; options: { value: string; words: string }[]; chosen: string[]; choose(value: string): void }) {
  return (
    <div class="chips" role="group" aria-label={label}>
      <p class="label" aria-hidden="true">{label}</p>
      {options.map(({ value, words }) => (
        <button type="button" class="chip" aria-pressed={chosen.includes(value)} onClick={() => choose(value)}>{words}</button>
      ))}
    </div>
  );
}

export function Builder() {
  const t = useWords();
  const [open, setOpen] = useState(false);
  const [act, setAct] = useState<Act>('lock out when');
  const [picked, setPicked] = useState<string[]>([]);
  const [joint, setJoint] = useState('and');
  const [time, setTime] = useState('');
  const [back, setBack] = useState<{ line: SettingsLine | null; problem: Problem | null } | null>(null);
  const site = useStore(store, (state) => state.sheet.site);
  const units = useStore(store, (state) => state.units);
  const ready = !needsCondition(act) || picked.length > 0;
  const sentence = ready ? sentenceOf(act, picked, joint, time) : '';
  useEffect(() => {
    if (!open || !sentence) { setBack(null); return; }
    const filled = siteForCore(store.get());
    if (!filled) return;
    const sentences = [...sentencesOf(filled), sentence];
    const last = sentences.length - 1;
    void askOnce<{ sentences: SettingsLine[] }>('build', { do: 'settings', site: filled, sentences, units: DOOR_UNITS[units] }).then((answer) => {
      if (!answer) return;
      const list = answer.ok ? answer.warnings : answer.problems;
      const problem = list.find((entry) => entry.path === `sentences[${last}]`) ?? null;
      const line = answer.ok ? answer.sentences.find((entry) => entry.sentence === last) ?? null : null;
      setBack({ line, problem: problem ?? (answer.ok ? null : answer.problems[0] ?? null) });
    }).catch(() => setBack(null));
  }, [open, sentence, site, units]);
  const choose = (value: string): void => setPicked(act === 'ignore' ? [value]
    : picked.includes(value) ? picked.filter((other) => other !== value) : [...picked, value].slice(-4));
  if (!open) return <button type="button" class="add" onClick={() => setOpen(true)}>{t('build.open')}</button>;
  return (
    <div class="builder">
      <Chips label={t('build.act')} options={ACTS.map((value) => ({ value, words: t(`act.${value}` as Key) }))} chosen={[act]}
        choose={(value) => { setAct(value as Act); setPicked([]); setTime(''); }} />
      {needsCondition(act) && <Chips label={t('build.when')} options={conditions(site, units).map((value) => ({ value, words: value }))} chosen={picked} choose={choose} />}
      {picked.length > 1 && <Chips label={t('build.joint')} options={[{ value: 'and', words: t('build.and') }, { value: 'or', words: t('build.or') }]} chosen={[joint]} choose={setJoint} />}
      {takesTime(act) && <Chips label={t('build.time')} options={TIMED.map((value) => ({ value, words: value || t('build.atOnce') }))} chosen={[time]} choose={setTime} />}
      <div class="read-back" aria-live="polite">
        {sentence === '' ? <p>{t('build.choose')}</p> : back?.line ? <p>{t('settings.back')} <b>{back.line.words}</b></p> : <p>{sentence}</p>}
        {back?.problem && <p class={back.problem.warning ? 'warning' : 'error'}>{back.problem.words}</p>}
      </div>
      <div class="row">
        <button type="button" class="strong" disabled={!back?.line} onClick={() => { edit.add(['settings'], back!.line!.words); setOpen(false); setPicked([]); }}>{t('build.add')}</button>
        <button type="button" class="quiet" onClick={() => setOpen(false)}>{t('build.leave')}</button>
      </div>
      <p class="says">{t('build.later')}</p>
    </div>
  );
}
