/* What fits this site: vessel, pipes, cable and motor as the core sizes them, and the weakest point of all. Nothing is computed here. */
import { useState } from 'preact/hooks';
import type { ComponentChildren } from 'preact';
import type { Problem, Size, SizeLine } from '../core/door';
import { maybe, useWords, type Key, type Say } from '../i18n/words';
import { digits, show, spokenNumber } from '../sheet/quantity';
import { cardPath } from '../state/ask';
import { store } from '../state/job';
import { useStore } from '../state/store';
import { Meeting } from '../draw/Meeting';
import { Safety } from './Caution';
import { goTo } from './Look';

type Find = (part: string, id: string) => SizeLine | undefined;

function lines(size: Size): Find {
  return (part, id) => size.lines.find((line) => line.part === part && line.id === id);
}

/* By how much, as a part of the figure: a sign tells the way. */
function changed(line: SizeLine): string {
  const change = line.most?.change;
  if (change === null || change === undefined || !line.value) return '';
  const percent = digits((change / line.value) * 100, 2);
  return `${change > 0 ? '+' : ''}${spokenNumber(percent).replace('-', '−')} %`;
}

function Most({ line }: { line: SizeLine }) {
  const t = useWords();
  const by = changed(line);
  return (
    <dd class="most">
      {t('size.most', { assumption: '' })}<span>{line.most!.assumption}</span>{by && ` ${t('size.most.by', { change: by })}`}
    </dd>
  );
}

function Figure({ name, line, main }: { name: string; line: SizeLine | undefined; main?: boolean }) {
  if (!line?.words) return null;
  return (
    <div class={main ? 'main' : ''}>
      <dt>{name}</dt>
      <dd>{line.words.replace('mm2', 'mm²').replace('per hour', '/ h')}</dd>
      {line.most && <Most line={line} />}
    </div>
  );
}

/* Limits of this group that are not kept, in the core's words. */
function Broken({ size, ids }: { size: Size; ids: string[] }) {
  const broken = size.checks.filter((check) => !check.kept && ids.includes(check.id));
  return <>{broken.map((check) => <p class="error">{check.words}</p>)}</>;
}

interface GroupProps { name: string; title: string; main?: SizeLine; size?: Size; ids?: string[]; children: ComponentChildren }

/* One thing that is sized: its main figure in the line, all the rest below. Open when a limit of it is not kept. */
function Group({ name, title, main, size, ids = [], children }: GroupProps) {
  const broken = size?.checks.find((check) => !check.kept && ids.includes(check.id)) !== undefined;
  const [open, setOpen] = useState(broken);
  return (
    <details class="figure-card" data-size={name} open={open} onToggle={(event) => setOpen(event.currentTarget.open)}>
      <summary><h3>{title}</h3>{main?.words && <b class="in-line">{main.words.replace('mm2', 'mm²')}</b>}</summary>
      {children}
      {size && <Broken size={size} ids={ids} />}
    </details>
  );
}

function Vessel({ size }: { size: Size }) {
  const t = useWords();
  const find = lines(size);
  const needed = find('vessel', 'needed volume');
  if (!needed) {
    const why: Key = size.kind === 'tank' ? 'size.noVessel.tank' : size.kind === 'direct' ? 'size.noVessel.direct' : 'size.noVessel.settings';
    return <Group name="vessel" title={t('size.vessel')}><p class="says">{t(why)}</p></Group>;
  }
  const allowed = size.checks.find((check) => check.id === 'starts');
  return (
    <Group name="vessel" title={t('size.vessel')} main={needed} size={size} ids={['starts', 'precharge']}>
      <dl>
        <Figure main name={t('size.volume')} line={needed} />
        <Figure name={t('size.volumeThere')} line={find('vessel', 'volume')} />
        <Figure name={t('size.precharge')} line={find('vessel', 'precharge')} />
        <Figure name={t('size.drawdown')} line={find('vessel', 'drawdown')} />
        <Figure name={t('size.mostStarts')} line={find('vessel', 'most starts')} />
      </dl>
      {allowed?.kept && <p>{allowed.words}</p>}
    </Group>
  );
}

function Cable({ size }: { size: Size }) {
  const t = useWords();
  const find = lines(size);
  const section = find('electric', 'cable section');
  const assumed = size.defaults.find((taken) => taken.path.endsWith('design.cable.length'));
  return (
    <Group name="cable" title={t('size.cable')} main={section} size={section?.words ? size : undefined} ids={['cable']}>
      {section && section.words === null && <p class="error">{t('size.noSection')}</p>}
      <dl>
        <Figure main name={t('size.section')} line={section} />
        {assumed && <div><dt>{t('size.cableLength')}</dt><dd>{assumed.value}</dd></div>}
        <Figure name={t('size.drop')} line={find('electric', 'drop')} />
        <Figure name={t('size.startDrop')} line={find('electric', 'starting drop')} />
      </dl>
      {assumed && (
        <p class="warning">{t('size.cableLength.where')} <button type="button" class="quiet" onClick={() => void goTo('design.cable.length')}>{t('size.write', { where: t('size.where.group', { group: t('g.design') }) })}</button></p>
      )}
    </Group>
  );
}

function Pipes({ size }: { size: Size }) {
  const t = useWords();
  const units = useStore(store, (state) => state.units);
  const find = lines(size);
  return (
    <Group name="pipes" title={t('size.pipes')}>
      {size.pipes.length === 0 && <p class="says">{t('size.noPipes')}</p>}
      {size.pipes.map((pipe) => {
        const own = pipe.sizes.find((one) => one.present) ?? pipe.sizes.find((one) => one.pipe === pipe.chosen);
        const suits = pipe.sizes.find((one) => one.pipe === pipe.chosen && one.fits);
        if (!own) return null;
        const loss = find('pipes', `loss, ${pipe.line}`);
        return (
          <>
            <h4>{pipe.line} <small>{own.pipe}{!own.fits && <b class="error"> {t('size.tooSmall')}</b>}</small></h4>
            <dl>
              <div><dt>{t('size.velocity')}</dt><dd>{show(own.velocity_ms, 'velocity', units)}</dd></div>
              <div><dt>{t('size.friction')}</dt><dd>{show(own.friction_m_per_m, 'fraction', units)}</dd></div>
              <Figure name={t('size.loss')} line={loss} />
              {suits !== own && <div><dt>{t('size.suits')}</dt><dd>{suits?.pipe ?? t('size.noSuits')}</dd></div>}
            </dl>
          </>
        );
      })}
    </Group>
  );
}

function Suction({ size }: { size: Size }) {
  const t = useWords();
  const assumed = useStore(store, (state) => state.duty?.ok === true && state.duty.duties.find((row) => row.pump === size.pump)?.npsh === 'not stated');
  const find = lines(size);
  return (
    <Group name="suction" title={t('size.suction')} main={find('suction', 'margin')} size={size} ids={['NPSH', 'lift', 'suction velocity']}>
      <dl>
        <Figure main name={t('size.npshLeft')} line={find('suction', 'margin')} />
        <Figure name={t('size.npshAvailable')} line={find('suction', 'available')} />
        <Figure name={t('size.npshRequired')} line={find('suction', 'required')} />
        <Figure name={t('size.lift')} line={find('suction', 'lift')} />
        <Figure name={t('size.mostLift')} line={find('suction', 'largest lift')} />
      </dl>
      {assumed && <p class="warning">{t('size.npshAssumed')}</p>}
    </Group>
  );
}

function Motor({ size }: { size: Size }) {
  const t = useWords();
  const find = lines(size);
  return (
    <Group name="motor" title={t('size.motor')} main={find('electric', 'starting current')} size={size} ids={['motor', 'motor starts', 'winding']}>
      <dl>
        <Figure main name={t('size.startA')} line={find('electric', 'starting current')} />
        <Figure name={t('size.fullA')} line={find('electric', 'full-load current')} />
        <Figure name={t('size.conductor')} line={find('electric', 'conductor current')} />
        <Figure name={t('size.heatStarts')} line={find('electric', 'starts by heat')} />
        <Figure name={t('size.generator')} line={find('electric', 'generator')} />
      </dl>
    </Group>
  );
}

/* Made only when it is opened: it is long. */
function Assumed({ size }: { size: Size }) {
  const t = useWords();
  const [open, setOpen] = useState(false);
  if (size.defaults.length === 0) return null;
  return (
    <details class="assumed" onToggle={(event) => setOpen(event.currentTarget.open)}>
      <summary>{t('size.assumed', { n: size.defaults.length })}</summary>
      {open && (
        <>
          <p class="says">{t('size.assumed.where')}</p>
          <ul class="plain">
            {size.defaults.map((taken) => (
              <li><button type="button" class="lead" onClick={() => void goTo(cardPath(taken.path))}>
                <b lang="en">{cardPath(taken.path)}</b>: {taken.value}. <span lang="en">{taken.reason}</span></button></li>
            ))}
          </ul>
        </>
      )}
    </details>
  );
}

/* Where on the card the thing that is missing is written. */
function whereOf(problem: Problem, t: Say, language: 'en' | 'de'): string {
  const [first = ''] = cardPath(problem.path).split(/[.[]/);
  if (first === 'settings' || first === 'sentences') return t('size.where.settings');
  const group = maybe(language, `g.${first}`);
  return group ? t('size.where.group', { group }) : t('size.where.sheet');
}

function Refused({ problems }: { problems: Problem[] }) {
  const t = useWords();
  const language = useStore(store, (state) => state.language);
  return (
    <div data-size="refused">
      <p class="error">{t('size.refused')}</p>
      <ul class="plain">
        {problems.slice(0, 4).map((problem) => (
          <li><span>{problem.expected || problem.words}{problem.hint && ` (${problem.hint.replace(/\.$/, '')})`}.</span>
            {' '}<button type="button" class="quiet" onClick={() => void goTo(cardPath(problem.path))}>
              {t('size.write', { where: whereOf(problem, t, language) })}</button></li>
        ))}
      </ul>
    </div>
  );
}

function Weakest({ size }: { size: Size }) {
  const t = useWords();
  const { kept } = size;
  return (
    <div class={`verdict ${kept ? 'good' : 'bad'}`} data-size="weakest">
      <p><b>{t(kept ? 'size.kept' : 'size.broken')}</b> <span>{size.weakest}</span></p>
    </div>
  );
}

/** What limits the site most, before everything else. */
export function WeakestPoint() {
  const t = useWords();
  const size = useStore(store, (state) => state.size);
  const units = useStore(store, (state) => state.units);
  if (!size || size.units !== units) return <p class="says">{t('wait')}</p>; // its words are in the other units
  if (!size.answer.ok) return <Refused problems={size.answer.problems} />;
  return <Weakest size={size.answer} />;
}

export function Sized() {
  const t = useWords();
  const size = useStore(store, (state) => state.size);
  const units = useStore(store, (state) => state.units);
  if (!size || size.units !== units || !size.answer.ok) return null;
  const { answer } = size;
  return (
    <div class="sized">
      <Meeting size={answer} />
      <h3>{t('size.needs')}</h3>
      <div class="figure-cards">
        <Vessel size={answer} />
        <Pipes size={answer} />
        <Suction size={answer} />
        <Cable size={answer} />
        <Motor size={answer} />
      </div>
      <p class="says">{t('size.says')}</p>
      <Assumed size={answer} />
      <Safety names={['sizedVessel', 'sizedPipes', 'sizedCable', 'sizedMotor']} />
    </div>
  );
}
