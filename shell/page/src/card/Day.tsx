/* The stretch "A day": the simulated day, its settings to drag, the section at the moment looked at. */
import { useEffect, useState } from 'preact/hooks';
import type { Run } from '../core/door';
import { useWords } from '../i18n/words';
import { clock, entriesAround } from '../draw/moment';
import { SectionView } from '../draw/Section';
import { DayCharts, sentencesOf } from '../plot/DayCharts';
import { settingsIn } from '../sheet/settings';
import { show, showTime } from '../sheet/quantity';
import { store } from '../state/job';
import { useStore } from '../state/store';
import { SettingSlider } from './Settings';

export function shownRun(): Run | null {
  const state = store.get();
  return state.looking === 'what' && state.what ? state.what : state.day;
}

/** Time to scrub and play, with what happened last and why. */
export function Scrubber() {
  const t = useWords();
  const t_ms = useStore(store, (state) => state.t_ms);
  const playing = useStore(store, (state) => state.playing);
  const run = useStore(store, (state) => (state.looking === 'what' && state.what ? state.what : state.day));
  const length = run?.length_ms ?? 86400e3;
  const around = run ? entriesAround(run.entries, t_ms) : { last: null, next: null };
  const before = run ? [...run.entries].reverse().find((entry) => entry.t_ms < t_ms - 1) : undefined;
  const day = (n: number): string => t('day.number', { n });
  return (
    <div class="scrubber">
      <div class="row">
        <button type="button" class="round" aria-label={t(playing ? 'day.pause' : 'day.play')} onClick={() => store.set({ playing: !playing })}>
          <svg viewBox="0 0 24 24" aria-hidden="true">{playing ? <path d="M6 5h4v14H6zM14 5h4v14h-4z" /> : <path d="M7 4l13 8-13 8z" />}</svg>
        </button>
        <button type="button" class="round" aria-label={t('day.before')} disabled={!before} onClick={() => before && store.set({ t_ms: before.t_ms, playing: false })}>
          <svg viewBox="0 0 24 24" aria-hidden="true"><path d="M6 5h3v14H6zM20 5v14L10 12z" /></svg></button>
        <input type="range" min={0} max={length} step={60e3} value={Math.min(t_ms, length)} aria-label={t('day.time')} aria-valuetext={clock(t_ms, day)}
          onInput={(event) => store.set({ t_ms: Number(event.currentTarget.value), playing: false })} />
        <button type="button" class="round" aria-label={t('day.after')} disabled={!around.next} onClick={() => around.next && store.set({ t_ms: around.next.t_ms, playing: false })}>
          <svg viewBox="0 0 24 24" aria-hidden="true"><path d="M15 5h3v14h-3zM4 5v14l10-7z" /></svg></button>
        <output class="clock">{clock(Math.min(t_ms, length), day)}</output>
      </div>
      <p class="entry">{around.last ? around.last.words.replace(/^day 1\s+/, '') + (around.next?.left_out ? ' …' : '') : run?.entries.length === 0 ? '…' : t('day.begin')}</p>
    </div>
  );
}

/* An hour in two seconds; without wish for movement, a step of a quarter of an hour each second. */
export function usePlaying(): void {
  const playing = useStore(store, (state) => state.playing);
  useEffect(() => {
    if (!playing) return;
    const still = matchMedia('(prefers-reduced-motion: reduce)').matches;
    const move = (by: number): void => {
      const { t_ms } = store.get();
      const length = shownRun()?.length_ms ?? 86400e3;
      store.set({ t_ms: t_ms + by >= length ? 0 : t_ms + by });
    };
    if (still) {
      const timer = setInterval(() => move(900e3), 1000);
      return () => clearInterval(timer);
    }
    let last = performance.now();
    let frame = requestAnimationFrame(function step(now) {
      move(Math.min(100, now - last) * 1800);
      last = now;
      frame = requestAnimationFrame(step);
    });
    return () => cancelAnimationFrame(frame);
  }, [playing]);
}

function Settings() {
  const t = useWords();
  const text = useStore(store, (state) => JSON.stringify(sentencesOf(state.sheet.site)));
  const sentences = JSON.parse(text) as string[];
  const numbers = useStore(store, (state) => state.numbers);
  const settings = settingsIn(sentences, numbers);
  const [chosen, choose] = useState(0);
  const at = Math.min(chosen, settings.length - 1);
  const setting = settings[at];
  if (!setting) return null;
  return (
    <div class="setting">
      <label for="setting">{t('day.setting')}</label>
      <select id="setting" value={at} onChange={(event) => choose(Number(event.currentTarget.value))}>
        {settings.map((entry, i) => (
          <option value={i}>{entry.sentence + 1}. {sentences[entry.sentence]!.slice(0, entry.start)}[{entry.text}]{sentences[entry.sentence]!.slice(entry.end)}</option>
        ))}
      </select>
      <SettingSlider setting={setting} label={t('settings.change', { what: setting.text, n: setting.sentence + 1 })} />
    </div>
  );
}

export function Figures({ run }: { run: Run }) {
  const t = useWords();
  const units = useStore(store, (state) => state.units);
  const { totals } = run;
  const figures: [string, string][] = [
    [t('figure.starts'), String(totals.starts)],
    [t('figure.hour'), String(totals.most_starts_in_hour)],
    [t('figure.run'), showTime(totals.run_s)],
    [t('figure.longest'), showTime(totals.longest_run_s)],
    [t('figure.delivered'), show(totals.delivered_m3, 'volume', units)],
    [t('figure.energy'), show(totals.energy_j, 'energy', units)],
  ];
  if (totals.short_s > 0) figures.push([t('figure.short'), showTime(totals.short_s)]);
  if (totals.leaked_m3 > 0) figures.push([t('figure.leaked'), show(totals.leaked_m3, 'volume', units)]);
  if (totals.spilled_m3 > 1e-6) figures.push([t('figure.spilled'), show(totals.spilled_m3, 'volume', units)]);
  if (totals.dry_s > 0) figures.push([t('figure.dry'), showTime(totals.dry_s)]);
  return <dl class="figures">{figures.map(([name, value]) => <div><dt>{name}</dt><dd>{value}</dd></div>)}</dl>;
}

export function Day({ withSection }: { withSection: boolean }) {
  const t = useWords();
  const run = useStore(store, (state) => state.day);
  const problems = useStore(store, (state) => state.dayProblems);
  return (
    <div onPointerEnter={() => store.set({ looking: 'day' })} onFocusCapture={() => store.set({ looking: 'day' })}>
      <p class="says">{t('day.says')}</p>
      {problems.map((problem) => <p class="error">{problem.words}</p>)}
      {withSection && <><SectionView height={330} /><Scrubber /></>}
      {run?.samples ? (
        <>
          {run.locks > 0 && <p class="error">{t('day.locked', { words: run.entries.find((entry) => entry.kind === 'lock out')?.words ?? '' })}</p>}
          <DayCharts run={run} drag />
          <Settings />
          <Figures run={run} />
        </>
      ) : <p class="says">{t(problems.length ? 'day.none' : 'wait')}</p>}
    </div>
  );
}
