/* The verdict, in sight wherever somebody is: is a healthy site left alone, how many false stops, what is never seen, what to
 * type. All of it is the core's (docs/door.md, prove); each line leads to where it comes from. */
import { useState } from 'preact/hooks';
import type { Proof } from '../core/door';
import { useWords, type Key, type Say } from '../i18n/words';
import { pretty } from '../sheet/quantity';
import { problemsNow } from '../state/ask';
import { store } from '../state/job';
import { full, fullOf, proveFull } from '../state/full';
import { adopt } from '../state/prove';
import type { StretchName } from '../state/place';
import { useStore } from '../state/store';
import { FullProgress } from './FullProgress';

type Light = 'good' | 'bad' | 'open';
const SIGN: Record<Light, string> = { good: '✓', bad: '✕', open: '?' };

/* What the core found of the healthy site; while its years are not simulated, nothing is said. */
function healthOf(proof: Proof | null): Light {
  if (!proof?.healthy.known) return 'open';
  return proof.healthy.fails ? 'bad' : 'good';
}

export function useFresh(): { proof: Proof | null; fresh: boolean; busy: boolean } {
  const proof = useStore(store, (state) => state.proof);
  const sheet = useStore(store, (state) => state.sheet.text);
  const units = useStore(store, (state) => state.units);
  const fresh = proof.answer !== null && proof.sheet === sheet && proof.units === units;
  return { proof: proof.answer, fresh, busy: proof.progress !== null || (proof.answer !== null && !fresh) };
}

function lead(place: StretchName): void {
  store.set({ place });
}

/* In a few words: what stands in the bar of a phone. */
function inShort(t: Say, proof: Proof): string {
  const { years, count } = proof.false_stops;
  const stops = years > 0 ? t(years === 1 ? 'verdict.stops.year' : 'verdict.stops', { count, years }) : t('verdict.stops.open');
  return `${stops} · ${t('verdict.unseen', { unseen: proof.counts.unseen, tried: proof.counts.tried })}`;
}

function Lines({ proof }: { proof: Proof }) {
  const t = useWords();
  const { verdict } = proof;
  if (!verdict) return null;
  return (
    <>
      <p class="healthy"><b>{verdict.healthy}</b></p>
      {verdict.why.length > 0 && <ul class="plain">{verdict.why.map((line) => (
        <li><button type="button" class="lead" onClick={() => lead('day')}>{line}</button></li>))}</ul>}
      {verdict.holes.length > 0 && <>
        <h2>{t('proof.holes')}</h2>
        <ol class="holes">{verdict.holes.map((line) => <li><button type="button" class="lead" onClick={() => lead('proof')}>{pretty(line)}</button></li>)}</ol>
      </>}
      <ToType proof={proof} />
    </>
  );
}

/* What to type is looked for by the full check only: it proves the list before it is shown. */
export function ToType({ proof }: { proof: Proof }) {
  const t = useWords();
  const state = useStore(store, (now) => now.proof.state);
  const id = useStore(store, (now) => now.id);
  const runs = useStore(full, (now) => fullOf(now.list, id));
  if (state !== 'full') {
    return runs ? null : <p class="row"><button type="button" class="strong" onClick={() => void proveFull()}>{t('verdict.look')}</button></p>;
  }
  const { verdict, proposal } = proof;
  if (!verdict) return null;
  return (
    <>
      {verdict.type.length > 0 && <h2>{t('proof.type')}</h2>}
      {verdict.proposal && <p>{verdict.proposal}</p>}
      {verdict.type.length > 0 && <ul class="plain type">{verdict.type.map((line) => (
        <li><button type="button" class="lead" onClick={() => lead('settings')}>{line}</button></li>))}</ul>}
      {proposal?.better && <p class="row"><button type="button" class="strong" onClick={() => adopt(proposal.settings)}>{t('verdict.adopt')}</button></p>}
      {verdict.unproposed && <p>{verdict.unproposed}</p>}
    </>
  );
}

function useHead(): { light: Light; title: Key; small: string } {
  const t = useWords();
  const { proof, busy } = useFresh();
  const wrong = useStore(store, (state) => state.sheet.problems.length > 0 || problemsNow(state).some((problem) => !problem.warning));
  if (wrong) return { light: 'open', title: 'verdict.refused', small: t('verdict.refused.small') };
  if (!proof) return { light: 'open', title: 'verdict.waits', small: t('wait') };
  const light = healthOf(proof);
  return { light, title: `verdict.${light}`, small: busy ? t('wait') : inShort(t, proof) };
}

/* A full check that goes on in the background, in sight at every place. */
function Background() {
  const id = useStore(store, (state) => state.id);
  const check = useStore(full, (state) => state.list[0]);
  return check && <FullProgress check={check} named={check.id !== id} />;
}

/** On a phone: one line that opens. */
export function VerdictBar() {
  const t = useWords();
  const { light, title, small } = useHead();
  const { proof, busy } = useFresh();
  const [open, setOpen] = useState(false);
  return (
    <section class={`verdict-bar ${light}`} aria-label={t('proof.verdict')} data-verdict={busy || !proof ? 'waits' : 'there'}>
      <button type="button" class="verdict-line" aria-expanded={open} onClick={() => setOpen(!open)}>
        <span class="sign" aria-hidden="true">{SIGN[light]}</span>
        <span class="words"><b>{t(title)}</b> <small>{small}</small></span>
        <svg viewBox="0 0 24 24" aria-hidden="true"><path d={open ? 'M5 15l7-7 7 7' : 'M5 9l7 7 7-7'} /></svg>
      </button>
      <Background />
      {open && proof && <div class="verdict-more" onClick={(event) => { if ((event.target as HTMLElement).matches('.lead')) setOpen(false); }}><Lines proof={proof} /></div>}
    </section>
  );
}

/** On a wide screen: all of it, beside. */
export function VerdictPanel() {
  const t = useWords();
  const { light, title, small } = useHead();
  const { proof, busy } = useFresh();
  return (
    <section class={`verdict-bar beside-it ${light}`} aria-label={t('proof.verdict')} data-verdict={busy || !proof ? 'waits' : 'there'}>
      <p class="verdict-line">
        <span class="sign" aria-hidden="true">{SIGN[light]}</span>
        <span class="words"><b>{t(title)}</b> <small>{small}</small></span>
      </p>
      <Background />
      {proof && <div class="verdict-more"><Lines proof={proof} /></div>}
    </section>
  );
}
