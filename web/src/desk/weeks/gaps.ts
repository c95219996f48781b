/** What a plan of the days says of each set, and what breaks when outings fall away. Pure; instants in ms. */
export interface WindowTold {
  from: string;
  to: string;
}
export interface Outing {
  who: string;
  window: WindowTold;
  leave: string;
  back: string;
  drive_m: number;
  walk_m: number;
  stops: { parking: string; arrive: string; depart: string; looks: { set: string; at: string; due_at: string | null }[] }[];
}
export interface Plan {
  from: string;
  to: string;
  status: string;
  hours: number | null;
  bound_h: number | null;
  floor_h: number | null;
  drive_m: number | null;
  outings: Outing[];
  sets: { set: string; rule: string; looks: string[]; largest_gap_h: number | null; least_slack_h: number | null; tightest_at: string | null; overdue: boolean }[];
  overdue: string[];
  every_day: { days: number; hours: number; drive_m: number } | null;
  as_before: { hours_in_these_days: number; drive_m_in_these_days: number } | null;
  risk: { runs: number; any_late: number; back_late: number; either: number; late: Record<string, number> } | null;
  why: { until: string; sets: string[]; lacking_min: number } | null;
  reliefs: { kind: string; what: string; size: number; sets: string[]; windows: (WindowTold & { who: string })[]; smallest: boolean; hours: number | null }[];
  said: string[];
}

/** One planned look: by which outing, and by when it had to be. */
export interface Look {
  at: number;
  due: number | null;
  outing: number;
}

/** The planned looks of every set, in order of time. */
export function looksOf(plan: Plan): Map<string, Look[]> {
  const found = new Map<string, Look[]>();
  plan.outings.forEach((outing, number) => {
    for (const stop of outing.stops) {
      for (const look of stop.looks) {
        const own = found.get(look.set) ?? [];
        own.push({ at: Date.parse(look.at), due: look.due_at === null ? null : Date.parse(look.due_at), outing: number });
        found.set(look.set, own);
      }
    }
  });
  for (const own of found.values()) own.sort((a, b) => a.at - b.at);
  return found;
}

export interface Broken {
  set: string;
  /** When the limit passes. */
  due: number;
  /** The next look that is left; null when none is. */
  next: number | null;
}

/**
 * Says which limits pass when outings fall away and nothing is planned anew: the limit of a look that is gone runs on
 * to the next one that is left. A limit after the last look of the plan is not held against anybody.
 */
export function broken(plan: Plan, gone: ReadonlySet<number>): Broken[] {
  const end = Date.parse(plan.to);
  const found: Broken[] = [];
  for (const [set, looks] of looksOf(plan)) {
    let running: number | null = null;
    for (const look of looks) {
      running ??= look.due;
      if (gone.has(look.outing)) continue;
      if (running !== null && running < look.at) found.push({ set, due: running, next: look.at });
      running = null;
    }
    if (running !== null && running < end) found.push({ set, due: running, next: null });
  }
  return found.sort((a, b) => a.due - b.due || a.set.localeCompare(b.set));
}

/** Windows pulled to other hours, by the number of their outing. */
export type Moved = ReadonlyMap<number, { from: number; to: number }>;

/** The outings that cannot be made as planned: those left out, and those that their pulled window no longer holds. */
export function fallen(plan: Plan, gone: ReadonlySet<number>, moved: Moved): ReadonlySet<number> {
  const found = new Set(gone);
  for (const [number, window] of moved) {
    const outing = plan.outings[number];
    if (outing && (Date.parse(outing.leave) < window.from || Date.parse(outing.back) > window.to)) found.add(number);
  }
  return found;
}

/** The same in the words in which a plan is asked for: windows that fall away, and windows tried instead. */
export function tried(plan: Plan, gone: ReadonlySet<number>, moved: Moved): { apart: string[]; also: string[] } {
  const said = (ms: number): string => new Date(ms).toISOString();
  const apart = plan.outings.flatMap((one, n) => (gone.has(n) || moved.has(n) ? [`${one.window.from} ${one.who}`] : []));
  const also = [...moved].filter(([n]) => !gone.has(n)).map(([n, one]) => `${said(one.from)}/${said(one.to)} ${plan.outings[n]!.who}`);
  return { apart: [...new Set(apart)], also };
}

/** What tells two plans apart, set by set; only where they differ by a minute or more. */
export function differing(one: Plan, other: Plan): { set: string; looks: [number, number]; gap: [number | null, number | null] }[] {
  const theirs = new Map(other.sets.map((row) => [row.set, row]));
  const names = new Set([...one.sets.map((row) => row.set), ...theirs.keys()]);
  const mine = new Map(one.sets.map((row) => [row.set, row]));
  return [...names]
    .map((set) => {
      const [a, b] = [mine.get(set), theirs.get(set)];
      return {
        set,
        looks: [a?.looks.length ?? 0, b?.looks.length ?? 0] as [number, number],
        gap: [a?.largest_gap_h ?? null, b?.largest_gap_h ?? null] as [number | null, number | null],
      };
    })
    .filter((row) => row.looks[0] !== row.looks[1] || Math.abs((row.gap[0] ?? 0) - (row.gap[1] ?? 0)) >= 1 / 60);
}
