/* What the charts show, as a table: for a screen reader, and for whoever wants the figures. Of the stretch that is shown. */
import { useMemo, useState } from 'preact/hooks';
import { useWords } from '../i18n/words';
import { digits, spokenNumber } from '../sheet/quantity';
import { Store, useStore } from '../state/store';
import { timeText } from './Chart';
import { shownOf, type Span } from './view';

const MOST_ROWS = 96;
const FIT = 6; // columns of figures that stand side by side on the narrowest phone; more are scrolled in their box

/* Four digits, but none finer than a ten thousandth of what the column reaches: what is left there is the solver's, not the site's. */
function figuresOf(values: (number | null)[]): (value: number) => string {
  const top = values.reduce<number>((most, value) => Math.max(most, Math.abs(value ?? 0)), 0);
  const step = 10 ** (Math.floor(Math.log10(top || 1)) - 4);
  return (value) => spokenNumber(digits(Math.abs(value) < step ? 0 : value, 4));
}

interface Props { view: Store<Span>; hours: number[]; columns: { name: string; unit: string; values: (number | null)[] }[] }

function Rows({ view, hours, columns }: Props) {
  const t = useWords();
  const span = useStore(view, (state) => state);
  const [from, to] = shownOf(span, hours[hours.length - 1] ?? 0);
  const within = hours.flatMap((hour, i) => (hour >= from && hour <= to && columns.some((column) => (column.values[i] ?? null) !== null) ? [i] : []));
  const every = Math.max(1, Math.ceil(within.length / MOST_ROWS));
  const rows = within.filter((_, i) => i % every === 0);
  const figures = useMemo(() => columns.map((column) => figuresOf(column.values)), [columns]);
  return (
    <>
      {every > 1 && <p>{t('chart.every', { n: every })}</p>}
      <div class="wide-table" tabIndex={0} role="region" aria-label={t('chart.table')}>
        <table class={columns.length > FIT ? '' : 'fits'}>
          <thead><tr><th scope="col">{t('chart.time')}</th>{columns.map((column) => <th scope="col">{column.name} <small>{column.unit}</small></th>)}</tr></thead>
          <tbody>{rows.map((i) => (
            <tr><th scope="row">{timeText(hours[i]!)}</th>{columns.map((column, nth) => {
              const value = column.values[i];
              return <td>{value === null || value === undefined ? '–' : figures[nth]!(value)}</td>;
            })}</tr>))}</tbody>
        </table>
      </div>
    </>
  );
}

export function Table(props: Props) {
  const t = useWords();
  const [open, setOpen] = useState(false);
  return (
    <details class="more" data-table open={open} onToggle={(event) => setOpen(event.currentTarget.open)}>
      <summary>{t('chart.table')}</summary>
      {open && <Rows {...props} />}
    </details>
  );
}
