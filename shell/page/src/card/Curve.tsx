/* A pump's curve: its points as a table, and drawn with the points where the site makes it work. */
import { useWords } from '../i18n/words';
import { pathText, valueAt, type Path, type Plain } from '../sheet/plain';
import { inUnits, pretty, shownText, siOf, typedText, unitFor, type Dimension } from '../sheet/quantity';
import { edit, store } from '../state/job';
import { useStore } from '../state/store';
import { Problems } from './Field';
import { CurvePlot } from '../draw/CurvePlot';

const COLUMNS: { key: string; dimension: Dimension }[] = [
  { key: 'flow', dimension: 'flow' }, { key: 'head', dimension: 'length' }, { key: 'efficiency', dimension: 'fraction' },
  { key: 'NPSH', dimension: 'length' },
];

type Point = { [key: string]: Plain };

function Cell({ base, row, column, value }: { base: Path; row: number; column: typeof COLUMNS[number]; value: Plain | undefined }) {
  const t = useWords();
  const units = useStore(store, (state) => state.units);
  const path = [...base, row, column.key];
  const shown = value === undefined || value === null ? '' : shownText(String(value), column.dimension, units);
  const bare = shown.replace(/\s*[A-Za-z%].*$/, '');
  const unit = unitFor(column.dimension, units);
  const usual = shown === '' || shown.endsWith(unit) ? bare : shown;
  return (
    <td>
      <input type="text" inputMode="decimal" key={usual} defaultValue={usual} data-path={pathText(path)}
        aria-label={`${t(`curve.${column.key}` as 'curve.flow')} ${row + 1}`}
        onChange={(event) => {
          const text = event.currentTarget.value.trim();
          if (text !== usual) edit.value(path, text === '' ? undefined : typedText(text, column.dimension, units));
        }} />
    </td>
  );
}

export function Curve({ base, index }: { base: Path; index: number }) {
  const t = useWords();
  const units = useStore(store, (state) => state.units);
  const text = useStore(store, (state) => JSON.stringify(valueAt(state.sheet.site ?? undefined, base) ?? []));
  const pump = useStore(store, (state) => String(valueAt(state.sheet.site ?? undefined, ['pumps', index, 'name']) ?? ''));
  const duty = useStore(store, (state) => state.duty);
  const value = JSON.parse(text) as Plain;
  const points = (Array.isArray(value) ? value : []) as Point[];
  const drawn = points.map((point) => ({ x: siOf(point.flow, 'flow'), y: siOf(point.head, 'length') }))
    .filter((point): point is { x: number; y: number } => point.x !== null && point.y !== null)
    .map((point) => ({ x: inUnits(point.x, 'flow', units), y: inUnits(point.y, 'length', units) }));
  const marks = (duty?.ok ? duty.duties : []).filter((row) => row.pump === pump && row.flow_m3s !== null)
    .map((row) => ({ x: inUnits(row.flow_m3s, 'flow', units), y: inUnits(row.head_m, 'length', units), at: row.at }));
  const last = points[points.length - 1];
  return (
    <div class="field curve">
      <p class="label" id={`curve-${index}`}>{t('curve.title')}</p>
      <CurvePlot points={drawn} marks={marks} xUnit={pretty(unitFor('flow', units))} yUnit={pretty(unitFor('length', units))} />
      <table aria-labelledby={`curve-${index}`}>
        <thead>
          <tr>{COLUMNS.map((column) => (
            <th scope="col">{t(`curve.${column.key}` as 'curve.flow')} <small>{pretty(unitFor(column.dimension, units))}</small></th>
          ))}<th><span class="unseen">{t('curve.remove')}</span></th></tr>
        </thead>
        <tbody>
          {points.map((point, row) => (
            <tr>
              {COLUMNS.map((column) => <Cell base={base} row={row} column={column} value={point[column.key]} />)}
              <td><button type="button" class="quiet" aria-label={t('curve.removeRow', { row: row + 1 })}
                onClick={() => edit.remove([...base, row])}>×</button></td>
            </tr>
          ))}
        </tbody>
      </table>
      <button type="button" class="add" onClick={() => edit.add(base, { flow: last?.flow ?? '0 L/min', head: last?.head ?? '10 m' })}>
        {t('curve.add')}</button>
      <Problems path={pathText(base)} />
      {points.map((_, row) => COLUMNS.map((column) => <Problems path={`${pathText(base)}[${row}].${column.key}`} />))}
    </div>
  );
}
