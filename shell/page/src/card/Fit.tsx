/* The stretch "Fit": what the core says about duty, vessel and suction. */
import { useState } from 'preact/hooks';
import type { Duty, DutyRow } from '../core/door';
import { useWords, type Key } from '../i18n/words';
import { fixed, show } from '../sheet/quantity';
import { store } from '../state/job';
import { useStore } from '../state/store';
import { Sized, WeakestPoint } from './Sized';

function Row({ row }: { row: DutyRow }) {
  const t = useWords();
  const units = useStore(store, (state) => state.units);
  const doubtful = row.npsh === 'short' || row.npsh === 'close';
  const at: Record<string, Key> = { 'at cut-in': 'fit.cutIn', 'at cut-out': 'fit.cutOut', 'at free flow': 'fit.free', 'at work': 'fit.work' };
  const [open, setOpen] = useState(false);
  return (
    <details class="figure-card duty-row" open={open || doubtful} onToggle={(event) => setOpen(event.currentTarget.open)}>
      <summary>
        <h3>{at[row.at] ? t(at[row.at]!) : row.at} <small>{row.pump}</small></h3>
        <dl>
          <div><dt>{t('fit.flow')}</dt><dd>{row.words.flow ?? '–'}</dd></div>
          <div><dt>{t('fit.head')}</dt><dd>{row.words.head ?? '–'}</dd></div>
        </dl>
      </summary>
      <dl>
        <div><dt>{t('fit.input')}</dt><dd>{row.words.input ?? '–'}</dd></div>
        <div><dt>{t('fit.current')}</dt><dd>{row.words.current ?? '–'}</dd></div>
        <div><dt>{t('fit.efficiency')}</dt><dd>{row.words.efficiency ?? '–'}</dd></div>
        {row.drawdown_m !== null && row.drawdown_m > 0 && <div><dt>{t('fit.drawdown')}</dt><dd>{show(row.drawdown_m, 'length', units)}</dd></div>}
        {row.npsh_available_m !== null && (
          <div class={doubtful ? 'short' : ''}><dt>{t('fit.npsh')}</dt>
            <dd>{row.words['npsh available']} / {row.words['npsh required'] ?? t('fit.notStated')}</dd></div>
        )}
        {row.kwh_per_m3 !== null && <div><dt>{t('fit.energy')}</dt><dd>{fixed(row.kwh_per_m3, 2)} kWh/m³</dd></div>}
      </dl>
      {doubtful && <p class={row.npsh === 'short' ? 'error' : 'warning'}>{t(row.npsh === 'short' ? 'fit.npsh.short' : 'fit.npsh.close')}</p>}
    </details>
  );
}

const CHARGE: Record<Duty['pressures']['vessels'][number]['charge'], Key> = {
  'not known': 'fit.precharge.open', high: 'fit.precharge.high', low: 'fit.precharge.low', good: 'fit.precharge.good',
};

/* Each vessel's precharge beside the cut-in as it stands there, and what the core makes of it. */
function Vessels({ duty }: { duty: Duty }) {
  const t = useWords();
  if (duty.pressures.vessels.length === 0) return <p class="says">{t('fit.noVessel')}</p>;
  return (
    <ul class="plain">
      {duty.pressures.vessels.map((vessel) => (
        <li>{t('fit.vessel', { name: vessel.name, precharge: vessel.precharge, cutIn: vessel.cut_in ?? '–' })} <b>{t(CHARGE[vessel.charge])}</b></li>
      ))}
    </ul>
  );
}

function AtDuty() {
  const t = useWords();
  const duty = useStore(store, (state) => state.duty);
  if (!duty) return <p class="says">{t('wait')}</p>;
  if (!duty.ok) return <p class="error">{t('fit.refused')} {duty.problems[0]?.words}</p>;
  return (
    <>
      <p class="says">{t('fit.says')}</p>
      <div class="figure-cards">{duty.duties.map((row) => <Row row={row} />)}</div>
      <h3>{t('fit.vessels')}</h3>
      <Vessels duty={duty} />
    </>
  );
}

export function Fit() {
  return (
    <>
      <WeakestPoint />
      <AtDuty />
      <Sized />
    </>
  );
}
