/* A new job by six questions. Each has a start that stands there as assumed until somebody answers; nothing has to be typed. The core says
 * what it refuses at the question that it is about. */
import { told } from 'core:told';
import { useEffect, useId, useRef } from 'preact/hooks';
import type { ComponentChildren } from 'preact';
import { useWords, type Key } from '../i18n/words';
import { CurvePlot } from '../draw/CurvePlot';
import { Picture } from '../draw/Picture';
import { SectionView } from '../draw/Section';
import { QUESTIONS, questionOf, rises, startOf, SUPPLIES, valueOf, type Answers, type Asked, type Source, type Store, type Use } from '../sheet/begin';
import { readSheet } from '../sheet/plain';
import { inUnits, pretty, shownText, siOf, unitFor, type Dimension } from '../sheet/quantity';
import { asking, beginAnew, beginOrGoOn, change, draft, finishSound, give, openCatalogue, toStep } from '../state/begin';
import { store } from '../state/job';
import { leaveAsking } from '../state/jobs';
import { useStore } from '../state/store';
import { QuantityInput } from './Field';
import { OtherLanguage } from './Language';

const NAMES = ['source', 'pump', 'store', 'pipes', 'use', 'supply'] as const;

const useAnswers = (): Answers => useStore(asking, (state) => state.answers);

interface ValueProps { id: string; dimension: Dimension; label?: string; enter?: boolean }

/* A value that can be typed, or left as it is assumed. */
function Value({ id, dimension, label, enter = true }: ValueProps) {
  const t = useWords();
  const field = useId();
  const answers = useAnswers();
  const units = useStore(store, (state) => state.units);
  const given = answers.given[id];
  const start = shownText(startOf(answers, id), dimension, units);
  const common = { id: field, 'data-begin': id, 'data-enter': enter ? '' : undefined, 'aria-describedby': `${field}h` };
  return (
    <div class="field">
      <label for={field}>{label ?? t(`begin.q.${id}` as Key)}</label>
      <QuantityInput question={{ path: [id], kind: 'quantity', dimension }} value={given ?? null} start={start} common={common} placeholder={pretty(start)}
        put={(text) => give(id, text === '' ? undefined : text)} />
      <div class="hint" id={`${field}h`}>{given === undefined && <p class="assumed-now">{t(label ? 'assumed.mark' : 'begin.assumed')}</p>}</div>
    </div>
  );
}

function Choices<T extends string>({ label, options, chosen, choose, picture }: {
  label: string; options: readonly T[]; chosen: readonly T[]; choose(one: T): void; picture(one: T): string;
}) {
  const t = useWords();
  return (
    <div class={options.length === 4 ? 'choices of-four' : 'choices'} role="group" aria-label={label}>
      {options.map((one) => (
        <button type="button" class="choice" data-choice={one} aria-pressed={chosen.includes(one)} onClick={() => choose(one)}>
          <Picture of={picture(one)} /><span>{t(`begin.o.${one}` as Key)}</span>
        </button>
      ))}
    </div>
  );
}

function Values({ step }: { step: number }) {
  const t = useWords();
  const answers = useAnswers();
  const asked = QUESTIONS[step]!.filter((one) => !one.when || one.when(answers));
  const more = asked.filter((one) => one.more);
  const field = ({ id, dimension }: Asked) => <Value key={id} id={id} dimension={dimension} />;
  return (
    <>
      <div class="fields">{asked.filter((one) => !one.more).map(field)}</div>
      {more.length > 0 && <details class="more"><summary>{t('begin.more')}</summary><div class="fields">{more.map(field)}</div></details>}
    </>
  );
}

function SourceQuestion() {
  const t = useWords();
  const { source, given } = useAnswers();
  const choose = (one: Source): void => { // what was typed about the other source goes, the rest stays
    const own = new Set(QUESTIONS[0]!.map(({ id }) => id));
    change({ source: one, given: Object.fromEntries(Object.entries(given).filter(([id]) => !own.has(id))) });
  };
  return (
    <>
      <Choices<Source> label={t('begin.source')} options={['bore', 'open', 'mains']} chosen={[source]} picture={(one) => one} choose={choose} />
      <Values step={0} />
    </>
  );
}

function Rows() {
  const t = useWords();
  const answers = useAnswers();
  const units = useStore(store, (state) => state.units);
  const at = (id: string, dimension: Dimension): number => inUnits(siOf(valueOf(answers, id).text, dimension) ?? 0, dimension, units);
  const rows = Array.from({ length: answers.rows }, (_, row) => row);
  return (
    <>
      <p class="says">{t('begin.pump.says')}</p>
      <div class="begin-rows">{rows.map((row) => (
        <div class="begin-row">
          <Value id={`flow${row}`} dimension="flow" enter={false} label={t('begin.q.flow', { n: row + 1 })} />
          <Value id={`head${row}`} dimension="length" label={t('begin.q.head', { n: row + 1 })} />
        </div>
      ))}</div>
      <div class="row">
        {answers.rows < 8 && <button type="button" class="quiet" onClick={() => change({ rows: answers.rows + 1 })}>{t('begin.row.add')}</button>}
        {answers.rows > 3 && <button type="button" class="quiet" onClick={() => change({ rows: answers.rows - 1 })}>{t('begin.row.remove')}</button>}
      </div>
      <CurvePlot points={rows.map((row) => ({ x: at(`flow${row}`, 'flow'), y: at(`head${row}`, 'length') })).sort((a, b) => a.x - b.x)} marks={[]}
        xUnit={pretty(unitFor('flow', units))} yUnit={pretty(unitFor('length', units))} />
      <div class="fields"><Value id="motor" dimension="power" enter={false} /></div>
    </>
  );
}

function PumpQuestion() {
  const t = useWords();
  const { pump } = useAnswers();
  const catalogue = useStore(asking, (state) => state.catalogue);
  const bad = useStore(asking, (state) => state.bad);
  const picker = useRef<HTMLInputElement>(null);
  return (
    <>
      {!pump && <Rows />}
      {catalogue.length > 0 && (
        <div class="field"><label for="begin-pump">{t('begin.catalogue.which')}</label>
          <select id="begin-pump" value={pump?.name ?? ''} onChange={(event) => change({ pump: catalogue.find((one) => one.name === event.currentTarget.value) ?? null })}>
            <option value="">{t('begin.catalogue.none')}</option>
            {catalogue.map((one) => <option value={one.name}>{one.name}</option>)}
          </select></div>
      )}
      <p class="row"><button type="button" class="quiet" onClick={() => picker.current?.click()}>{t('begin.catalogue.open')}</button></p>
      <input ref={picker} id="begin-catalogue" type="file" class="unseen" tabIndex={-1} aria-label={t('begin.catalogue.open')} accept=".yaml,.yml,.json,.csv"
        onChange={(event) => { const file = event.currentTarget.files?.[0]; event.currentTarget.value = ''; if (file) void openCatalogue(file); }} />
      {bad && <p class="error" role="alert">{t('begin.catalogue.bad', { name: bad })}</p>}
    </>
  );
}

function StoreQuestion() {
  const t = useWords();
  const { store: kind } = useAnswers();
  return (
    <>
      <Choices<Store> label={t('begin.store')} options={['vessel', 'tank']} chosen={[kind]} picture={(one) => `${one}s`} choose={(one) => change({ store: one })} />
      <Values step={2} />
    </>
  );
}

const materialOf = (name: string): string => /^(schedule 40(?: PVC)?|\S+)/.exec(name)?.[1] ?? name;
const MATERIALS = [...new Set(told.pipes.map(materialOf))];

/* A pipe by its material and its size; both stand in the core's table. */
function PipeChoice({ id }: { id: 'risePipe' | 'linePipe' }) {
  const t = useWords();
  const answers = useAnswers();
  const { text, assumed } = valueOf(answers, id);
  const material = materialOf(text);
  const sizes = told.pipes.filter((name) => materialOf(name) === material);
  return (
    <>
      <div class="field"><label for={`${id}-material`}>{t('begin.material')}</label>
        <select id={`${id}-material`} value={material} onChange={(event) => give(id, middleOf(event.currentTarget.value))}>
          {MATERIALS.map((name) => <option value={name}>{t(`begin.pipe.${name}` as Key)}</option>)}
        </select></div>
      <div class="field"><label for={`${id}-size`}>{t('begin.size')}</label>
        <select id={`${id}-size`} value={text} onChange={(event) => give(id, event.currentTarget.value)}>
          {sizes.map((name) => <option value={name}>{name.slice(material.length).trim()}</option>)}
        </select>
        <div class="hint">{assumed && <p class="assumed-now">{t('begin.assumed')}</p>}</div></div>
    </>
  );
}

/* The size of another material to begin with: the fourth of its list, which is one of a small site. */
function middleOf(material: string): string {
  const sizes = told.pipes.filter((name) => materialOf(name) === material);
  return sizes[Math.min(3, sizes.length - 1)] ?? material;
}

function PipesQuestion() {
  const t = useWords();
  const answers = useAnswers();
  const one = (pipe: 'risePipe' | 'linePipe', length: string, title: string): ComponentChildren => (
    <fieldset class="begin-pipe"><legend>{title}</legend><div class="fields"><PipeChoice id={pipe} /><Value id={length} dimension="length" /></div></fieldset>);
  return (
    <>
      {rises(answers) && one('risePipe', 'riseLength', t(answers.store === 'vessel' ? 'begin.pipes.rise' : 'begin.pipes.fill'))}
      {one('linePipe', 'lineLength', t('begin.pipes.line'))}
    </>
  );
}

function UseQuestion() {
  const t = useWords();
  const { uses } = useAnswers();
  const toggle = (use: Use): void => {
    const now = uses.includes(use) ? uses.filter((other) => other !== use) : [...uses, use];
    if (now.length > 0) change({ uses: now }); // somebody uses the water
  };
  return (
    <>
      <Choices<Use> label={t('begin.use')} options={['house', 'garden', 'stock']} chosen={uses} picture={(one) => one} choose={toggle} />
      <Values step={4} />
    </>
  );
}

function SupplyQuestion() {
  const t = useWords();
  const { supply, name } = useAnswers();
  const others = useStore(asking, (state) => state.problems ?? []).filter((problem) => questionOf(problem.path) !== 5);
  return (
    <>
      <Choices label={t('begin.supply')} options={Object.keys(SUPPLIES)} chosen={[supply || 'one']} picture={(one) => (one.startsWith('three') ? 'three' : 'supply')}
        choose={(one) => change({ supply: one })} />
      {supply === '' && <p class="assumed-now">{t('begin.assumed')}</p>}
      <div class="field"><label for="begin-name">{t('begin.name')}</label>
        <input id="begin-name" type="text" value={name} autocomplete="off" placeholder={t('begin.name.site')} onInput={(event) => change({ name: event.currentTarget.value.trim() })} /></div>
      {others.length > 0 && <div class="wrong"><p>{t('begin.refused')}</p><ul class="plain">{others.map((problem) => (
        <li><button type="button" class="lead" onClick={() => toStep(questionOf(problem.path))}>{problem.words}</button></li>))}</ul></div>}
    </>
  );
}

const PARTS = [SourceQuestion, PumpQuestion, StoreQuestion, PipesQuestion, UseQuestion, SupplyQuestion];

/* Enter goes on to the next value of the question, and from the last one to the next question; what is asked back is answered first. */
function onEnter(event: KeyboardEvent): void {
  const field = event.target as HTMLElement;
  if (event.key !== 'Enter' || !field.matches('input[type=text]')) return;
  event.preventDefault();
  const form = field.closest('form')!;
  const all = [...form.querySelectorAll<HTMLInputElement>('input[data-enter]')].filter((input) => !input.closest('details:not([open])'));
  const next = all[all.indexOf(field as HTMLInputElement) + 1];
  field.blur(); // what was typed counts now
  requestAnimationFrame(() => {
    if (form.querySelector('.asked-back')) return;
    if (next) next.focus();
    else form.requestSubmit();
  });
}

export function Begin() {
  const t = useWords();
  const step = useStore(asking, (state) => state.step);
  const problems = useStore(asking, (state) => state.problems);
  const answers = useAnswers();
  const title = useRef<HTMLHeadingElement>(null);
  useEffect(() => void beginOrGoOn(), []);
  useEffect(() => { scrollTo(0, 0); title.current?.focus({ preventScroll: true }); }, [step]);
  const Part = PARTS[step]!;
  const last = step === PARTS.length - 1;
  const answered = Object.keys(answers.given).length > 0;
  const mine = (problems ?? []).filter((problem) => questionOf(problem.path) === step);
  return (
    <main class="begin" data-step={NAMES[step]}>
      <header class="jobs-head"><p class="brand">Pumpwright</p><OtherLanguage />
        <p class="step">{t('begin.step', { n: step + 1 })}</p>
        <h1 tabIndex={-1} ref={title}>{t(`begin.title.${NAMES[step]!}` as Key)}</h1></header>
      <div class="begin-body">
        <SectionView height={210} of={readSheet(draft()).site} key={answers.source + answers.store} />
        <form onKeyDown={onEnter} onSubmit={(event) => { event.preventDefault(); if (last) void finishSound(); else toStep(step + 1); }}>
          <Part />
          {mine.map((problem) => <p class="error" role="alert">{problem.words}</p>)}
          <div class="begin-foot">
            <button type="button" onClick={() => (step === 0 ? (beginAnew(), leaveAsking()) : toStep(step - 1))}>{t(step === 0 ? 'begin.leave' : 'begin.back')}</button>
            <button type="submit" class="strong">{t(last ? 'begin.finish' : 'begin.next')}</button>
          </div>
          {answered && <p class="row"><button type="button" class="quiet" onClick={beginAnew}>{t('begin.anew')}</button></p>}
        </form>
      </div>
    </main>
  );
}
