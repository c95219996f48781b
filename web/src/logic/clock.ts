/** What is left of a legal interval. Pure; the sign itself is parts/LoopClock. */
import type { CarriedSet } from '../wire/round';

export type Reading = 'left' | 'late' | 'not-verified' | 'no-clock';
export interface Clock {
  reading: Reading;
  /** 0 to 1; null when not known. */
  share: number | null;
  /** Minutes to the limit; negative when past; null when there is none. */
  minutes: number | null;
}

/** Reads the clock of a set at a moment. */
export function clockOf(set: Pick<CarriedSet, 'due' | 'since' | 'verdict' | 'verified'>, at: number): Clock {
  if (set.due === null) {
    const none = set.verdict === 'no clock';
    return { reading: none ? 'no-clock' : 'not-verified', share: null, minutes: null };
  }
  const due = Date.parse(set.due);
  const minutes = (due - at) / 60_000;
  if (minutes < 0) return { reading: 'late', share: 0, minutes };
  const since = set.since === null ? null : Date.parse(set.since);
  const share = since === null || since >= due ? null : Math.max(0, Math.min(1, (due - at) / (due - since)));
  return { reading: set.verified ? 'left' : 'not-verified', share, minutes };
}
