/** What the machine tells of a season. */
export interface Estimate {
  value: number | null;
  low: number;
  high: number | null;
  method: string;
  level: number;
}
export interface Wait {
  name: string;
  looks: number;
  median_h: number;
  worst_h: number;
  worst_set: string;
  worst_at: string;
  over_law: number;
  law_untold: number;
  over_own: number;
  held: number;
}
export interface SeasonTold {
  season: string;
  legal_said: string;
  convention: { name: string; says: string };
  has_effort: boolean;
  faults: { code: string; what: string; where: string; do: string }[];
  total: { sets: number; looks: number; nights_out: number; device_nights: number; target: number; other: number };
  not_counted_yet_nights: number;
  rate_target_per_100: Estimate;
  by: Record<string, Record<string, unknown>>;
  shares: (Estimate & { name: string; of: string; part: number; whole: number; standard: number | null; met: boolean | null })[];
  earning: { ranked: boolean; why_not: string };
  misses: { cause: string; events: number; said: string; findings: { factor: string; more: string; less: string; try: string }[] }[];
  waits: { all: Wait | null; by_property: Wait[]; limits_doubt: string };
  money: Record<string, unknown> & { entered: Record<string, number>; cost_per_catch: Estimate; left_out: string[] };
}
export interface PlotTold {
  name: string;
  svg: string;
  columns: string[];
  rows: (string | number | boolean | null)[][];
}
export interface PlansTold {
  plans: {
    said: string;
    cards: {
      file: string;
      leave: string;
      over: boolean;
      planned: number;
      looked: string[];
      skipped: string[];
      ratio: number | null;
      no_ratio: string | null;
      late_min: number | null;
    }[];
    weeks: { file: string; planned: number; in_time: number; late: unknown[]; never: unknown[]; ahead: number }[];
  };
}
