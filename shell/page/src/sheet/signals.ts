/* What a column of a logger's file may carry (docs/diagnosis.md). */
import type { Dimension } from './quantity';

/** Signals that a column may carry, with what they measure and units to choose from. */
export const SIGNALS: Record<string, { of: Dimension; units: string[] }> = {
  pressure: { of: 'pressure', units: ['kPa', 'bar', 'psi', 'mbar'] }, flow: { of: 'flow', units: ['L/min', 'L/s', 'm3/h', 'gpm'] },
  volume: { of: 'volume', units: ['m3', 'L', 'gal'] }, current: { of: 'current', units: ['A'] }, power: { of: 'power', units: ['W', 'kW'] },
  level: { of: 'length', units: ['m', 'cm', 'ft'] }, vibration: { of: 'number', units: [''] }, running: { of: 'number', units: [''] },
  starts: { of: 'number', units: [''] }, 'running time': { of: 'time', units: ['h', 'min', 's'] },
};
