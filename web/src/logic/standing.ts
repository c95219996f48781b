/** How each set stands by what this phone has noted. Pure. */
import type { Check, Told } from '../wire/event';
import type { CarriedSet } from '../wire/round';

export interface SetNow {
  /** Somebody laid eyes on it on this outing. */
  done: boolean;
  /** The last look, or failed look, noted here and not taken back. */
  check: Told | undefined;
  /** "Not found" and "not reached" leave the deadline running. */
  missed: boolean;
}

const UNSEEN = ['not-found', 'not-reached'];

/** Gives every set as it stands; only what happened since `since` belongs to this outing. */
export function standing(sets: CarriedSet[], events: Told[], since: string): Map<string, SetNow> {
  const voided = new Set(events.filter((one) => one.kind === 'void').map((one) => one.body.of));
  const from = since ? Date.parse(since) - 12 * 3600_000 : 0;
  const last = new Map<string, Told>();
  for (const one of events) {
    if (one.kind !== 'check' || voided.has(one.id) || Date.parse(one.happened_at) < from) continue;
    const name = (one.body as Check).set;
    const before = last.get(name);
    if (!before || before.happened_at <= one.happened_at) last.set(name, one);
  }
  return new Map(
    sets.map((set) => {
      const check = last.get(set.name);
      const seen = set.last_seen === null ? -Infinity : Date.parse(set.last_seen);
      const missed = check !== undefined && UNSEEN.includes((check.body as Check).found_as);
      const mine = check !== undefined && !missed;
      // Seen by somebody else on this outing, and told by the machine since.
      const elsewhere = since !== '' && seen >= Date.parse(since);
      return [set.name, { done: mine || missed || elsewhere, check, missed }];
    }),
  );
}
