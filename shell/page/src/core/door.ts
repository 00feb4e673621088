/* What the page knows of the door's answers (docs/door.md): only the members that it shows. */
import type { Plain } from '../sheet/plain';

export type Units = 'metric' | 'bar' | 'us';
export const DOOR_UNITS: Record<Units, string> = { metric: 'metric', bar: 'bar,m3/h', us: 'us' };

export type Request = { do: string; [key: string]: Plain | undefined };

export interface Problem {
  status: string;
  warning: boolean;
  path: string;
  line: number;
  column: number;
  found: string;
  expected: string;
  hint: string;
  words: string;
}

export interface Refused { ok: false; problems: Problem[]; lost: number }
export type Answer<T> = ({ ok: true; warnings: Problem[] } & T) | Refused;

export interface SettingsLine { sentence: number; words: string; told?: string; kind: string; watch: boolean }

/** How sentences are typed on a site (docs/door.md, forms). */
export interface SentenceForm { kind: string; form: string; about: 'anything' | 'signals'; time: string; example: string }
export interface SentenceForms { actions: SentenceForm[]; conditions: { about: string; words: string; signal: boolean }[] }

/** A number within a sentence (docs/door.md, parameters). */
export interface SentenceNumber {
  path: string; sentence: number; at: number; length: number; dimension: string; si: number; 'least si': number; 'most si': number;
  role: '' | 'cut-in' | 'cut-out'; what: string;
}

export interface Check {
  name: string;
  invented: boolean;
  defaults: { path: string; si: number | null; value: string; reason: string }[];
  settings: SettingsLine[];
}

export interface DutyRow {
  pump: string;
  at: string;
  flow_m3s: number;
  head_m: number;
  npsh_available_m: number | null;
  npsh_required_m: number | null;
  /** Of the suction: the core's verdict. */
  npsh: 'not stated' | 'short' | 'close' | 'enough';
  drawdown_m: number | null;
  input_w: number | null;
  kwh_per_m3: number | null;
  words: Record<string, string | null>;
}

export interface Duty {
  pressures: {
    cut_in_pa: number | null; cut_in: string | null; cut_out_pa: number | null; cut_out: string | null;
    /** `cut_in`: as it stands at the vessel; `charge`: the core's verdict on the precharge. */
    vessels: { name: string; precharge_pa: number; precharge: string; cut_in: string | null; charge: 'not known' | 'high' | 'low' | 'good' }[];
  };
  duties: DutyRow[];
}

export interface SizeLine {
  part: string; id: string; what: string; value: number | null; unit: string; words: string | null; how: string;
  most?: { assumption: string; change: number | null };
}

export interface SizePipe {
  pipe: string; velocity_ms: number | null; friction_m_per_m: number | null; loss_new_m: number | null; fits: boolean; present: boolean;
}

export interface Size {
  kind: 'pressure vessel' | 'tank' | 'direct';
  pump: string;
  /** All limits are kept; guides do not count. */
  kept: boolean;
  weakest: string;
  checks: { id: string; words: string; margin: number | null; kept: boolean; guide?: boolean }[];
  lines: SizeLine[];
  pipes: { line: string; chosen: string; sizes: SizePipe[] }[];
  duties: { at: string; flow_m3s: number; head_m: number }[];
  /** Head against flow: the pump's, and what the site asks in an easy, a usual and a hard case. */
  curves: Record<'pump' | 'easy' | 'usual' | 'hard', [number, number][]>;
  defaults: { path: string; value: string | null; reason: string }[];
}

export interface Totals {
  pumped_m3: number; delivered_m3: number; wanted_m3: number; leaked_m3: number; spilled_m3: number;
  run_s: number; dry_s: number; deadhead_s: number; energy_j: number; short_s: number; winding_max_c: number;
  pressure_max_pa: number; pressure_min_pa: number; starts: number; most_starts_in_hour: number; longest_run_s: number;
}

export interface Samples {
  t_ms: number[]; pressure_pa: number[]; draw_m3s: number[];
  /** Of all pumps together. */
  pumps_m3s: number[];
  /** In the sheet's order, as the tanks and the bores are. */
  pumps: { name: string; running: number[]; flow_m3s: number[]; current_a: number[]; winding_c: number[]; water_c: number[] }[];
  tanks: { name: string; level_m: number[] }[];
  bores: { name: string; over_intake_m: number[] }[];
  /** Gauge pressure at each place, in the sheet's order; when the core was asked for it and knows it. */
  places_pa?: number[][];
  /** Flow in each line, along it, and at each outlet, in the sheet's order; as above. */
  lines_m3s?: number[][];
  outlets_m3s?: number[][];
}

export interface Entry { t_ms: number; kind: string; name: string | null; sentence: number | null; words: string; left_out?: number }

export interface Run {
  ending: string;
  length_ms: number;
  locks: number;
  locked_at_end: boolean;
  settings: SettingsLine[];
  totals: Totals;
  firings: { sentence: number; t_ms: number; since_onset: Totals }[];
  entries: Entry[];
  entries_lost: number;
  samples?: Samples;
}

export interface FaultKind {
  what: string;
  title: string;
  severity: string | null;
  /** What the severity measures; null: it has none. */
  dimension: string | null;
  unit: string | null;
  possible?: boolean;
  at?: string | null;
  severities?: { si: number; words: string }[];
}

export interface Faults { faults: FaultKind[] }

export interface Tried {
  job: number; what: string; severity: number | null; title: string; finding: string;
  mark: 'caught' | 'late' | 'unseen' | 'harmless'; typed: boolean; severity_words: string | null; caught_by: number | null;
  stopped: boolean; seconds: number | null; after: string | null; lost: string | null; lost_per_day_m3: number | null; words: string; next: string;
}

export interface Swept { leak_m3s: number; leak: string; caught_by: number | null; seconds: number | null; lost_per_day_m3: number }

/** The core's verdict in words, for the first screen. */
export interface Verdict { healthy: string; why: string[]; edges: string[]; counts: string; holes: string[]; hole_count: number; worst: string[]; proposal?: string; type: string[]; unproposed?: string }

export interface Proof {
  verdict?: Verdict;
  /** Of the healthy site; `known`: its years were simulated. */
  healthy: { known: boolean; fails: boolean; years: number; false_stops: number };
  proposal?: { better: boolean; settings: { words: string; was: number | null; differs: boolean }[] };
  options: { years: number; horizon_s: number; sweep: number };
  jobs: number;
  settings: SettingsLine[];
  counts: { tried: number; caught: number; stopped: number; told: number; too_late: number; refused: number; warned: number; unseen: number; harmless: number };
  faults: Tried[];
  sweep: Swept[];
  false_stops: { years: number; count: number; per_year: number | null; upper_per_year: number | null };
  bands: { from_m3s: number; from: string; to_m3s: number; to: string; lost_most_m3d: number | null }[];
  /** The whole range of leaks tried, by the sentence that sees them; null: none. */
  stretches: { from_m3s: number; from: string; to_m3s: number; to: string; caught_by: number | null; tried: number }[];
  unseen: { what: string; next: string }[];
  html?: string;
}

/** A choice of watches in the simulations of an advice. */
export interface Trade { years_stopped: number; lost_m3_a: number; cost_a: number; unseen: number }
export interface Typed { words: string; was: number | null; differs: boolean }
export interface Advised extends Typed { why?: string; stops_from?: string | null; misses_from?: string | null; earns_a?: number }

export interface Advice {
  changes: boolean; settings: Advised[]; years: number; faults: number; upper_a: number | null; present_upper_a: number | null;
  bound_shown: boolean; present: Trade; advised: Trade; without: Trade; trade_off: (Trade & { settings: Typed[] })[];
  blind: { from_m3s: number; to_m3s: number; lost_m3d: number }[];
  checked?: { jobs: number; same: number; years_stopped: number };
}

/** What readings or a log speak for (docs/door.md, diagnose). */
export interface Hypothesis { what: string; words: string; probability: number }
export interface Next { words: string; bits?: number }
export interface Diagnosis {
  explained: boolean; hypotheses: Hypothesis[]; next: Next[]; text?: string; html?: string;
  log?: { rows: number; from_s: number; until_s: number; bad: Record<string, number>; standing: { begin_s: number; end_s: number; ended: boolean; size_m3s: { best: number } }[] };
  features?: Record<string, number>; judged_from_s?: number; judged_until_s?: number;
}

/** A logger's file as the program's own reader understood it (shell/adapt/log_door.h). */
export interface LogRead {
  plan: {
    separator: string; decimal_comma: boolean; heading_line: number; columns_seen: number; time: string; either_order: boolean;
    columns: { name: string; signal: string; unit: string; guessed: boolean; first: number | null }[]; unused_count: number; unused: string[];
  };
  lines: { read: number; empty: number; bad_time: number; other: number; first_bad_line: number };
  rows: number;
  drawn: { from_s: number; until_s: number; signals: { signal: string; low: (number | null)[]; high: (number | null)[] }[] };
  diagnosis?: string;
}

