/* Building a sentence by tapping: what to do, when, how much, for how long. The core reads it back before it is added. */
import { useEffect, useState } from 'preact/hooks';
import { DOOR_UNITS, type Problem, type SentenceForm, type SentenceForms, type SettingsLine } from '../core/door';
import { maybe, useWords } from '../i18n/words';
import { sentencesOf } from '../plot/DayCharts';
import { askOnce, siteForCore } from '../state/ask';
import { edit, store } from '../state/job';
import { useStore } from '../state/store';

/* Times to choose from: what is short enough to be tapped. */
const TIMES = ['1 s', '5 s', '10 s', '30 s', '1 min', '5 min'];
const CONDITION = '{condition}';
const TIME = '{time}';

/* The form with what was picked in its places; "" while something is missing. */
function sentenceOf(action: SentenceForm, picked: string[], joint: string, time: string): string {
  const form = time ? action.form : action.form.replace(` for ${TIME}`, '');
  return !form.includes(CONDITION) || picked.length > 0 ? form.replace(CONDITION, picked.join(` ${joint} `)).replace(TIME, time) : '';
}

/* What the forms are called in the language of the page; those that it has no words for, as they are typed. */
function wordsOf(language: 'en' | 'de', action: SentenceForm): string {
  const begin = action.form.split(/ ?\{/)[0]!;
  return maybe(language, `act.${begin}`) ?? begin;
}

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
  const [forms, setForms] = useState<SentenceForms | null>(null);
  const [act, setAct] = useState('');
  const [picked, setPicked] = useState<string[]>([]);
  const [joint, setJoint] = useState('and');
  const [time, setTime] = useState('');
  const [back, setBack] = useState<{ line: SettingsLine | null; problem: Problem | null } | null>(null);
  const site = useStore(store, (state) => state.sheet.site);
  const units = useStore(store, (state) => state.units);
  const language = useStore(store, (state) => state.language);
  const action = forms?.actions.find((one) => one.form === act) ?? forms?.actions.find((one) => one.kind === 'lock out') ?? null;
  const sentence = action ? sentenceOf(action, picked, joint, time || action.time) : '';
  useEffect(() => {
    const filled = open ? siteForCore(store.get()) : null;
    if (!filled) return;
    void askOnce<SentenceForms>('forms', { do: 'forms', site: filled, units: DOOR_UNITS[units] })
      .then((answer) => { if (answer?.ok) setForms(answer); }).catch(() => setForms(null));
  }, [open, site, units]);
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
  const alone = action?.about === 'signals';
  const choose = (value: string): void => setPicked(alone ? [value]
    : picked.includes(value) ? picked.filter((other) => other !== value) : [...picked, value].slice(-4));
  if (!open) return <button type="button" class="add" onClick={() => setOpen(true)}>{t('build.open')}</button>;
  const conditions = (forms?.conditions ?? []).filter((one) => one.signal || !alone).map(({ words }) => ({ value: words, words }));
  const times = action?.time ? [...new Set([action.time, ...TIMES])] : ['', ...TIMES];
  return (
    <div class="builder">
      <Chips label={t('build.act')} options={(forms?.actions ?? []).map((one) => ({ value: one.form, words: wordsOf(language, one) }))} chosen={action ? [action.form] : []}
        choose={(value) => { setAct(value); setPicked([]); setTime(''); }} />
      {action?.form.includes(CONDITION) && <Chips label={t('build.when')} options={conditions} chosen={picked} choose={choose} />}
      {picked.length > 1 && <Chips label={t('build.joint')} options={[{ value: 'and', words: t('build.and') }, { value: 'or', words: t('build.or') }]} chosen={[joint]} choose={setJoint} />}
      {action?.form.includes(TIME) && <Chips label={t('build.time')} options={times.map((value) => ({ value, words: value || t('build.atOnce') }))} chosen={[time || action.time]} choose={setTime} />}
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
