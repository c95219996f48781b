/** In what order the sets come, and what a skip does. Pure. */
import type { CarriedSet, Place, Round, Stop } from '../wire/round';
import { metres } from './way.ts';

/** The order of the plan; then every other working set by what runs out first. */
export function planOrder(round: Round): string[] {
  const planned = round.plan?.stops.flatMap((stop) => stop.visits.map((visit) => visit.set)) ?? [];
  const known = new Set(round.sets.map((one) => one.name));
  const rest = round.sets.filter((one) => one.working && !planned.includes(one.name));
  return [...planned.filter((name) => known.has(name)), ...byDue(rest).map((one) => one.name)];
}

/** Sets by what runs out first; those whose limit is not known come before all. */
export function byDue(sets: CarriedSet[]): CarriedSet[] {
  const key = (one: CarriedSet) => (one.due === null ? -Infinity : Date.parse(one.due));
  return [...sets].sort((a, b) => key(a) - key(b) || a.name.localeCompare(b.name));
}

/** The nearest set next, from where one stands, again and again, in a straight line. */
export function byNearness(sets: CarriedSet[], from: Place): CarriedSet[] {
  const rest = [...sets];
  const way: CarriedSet[] = [];
  let at = from;
  while (rest.length) {
    rest.sort((a, b) => metres(at, a.place) - metres(at, b.place));
    const one = rest.shift()!;
    way.push(one);
    at = one.place;
  }
  return way;
}

/** Puts some of an order first, the others after them as they were. */
export function first(order: string[], some: string[]): string[] {
  return [...some, ...order.filter((name) => !some.includes(name))];
}

/** Moves one name up or down among those that are left. */
export function moved(order: string[], left: string[], name: string, by: -1 | 1): string[] {
  const here = left.indexOf(name);
  const other = left[here + by];
  if (here < 0 || other === undefined) return order;
  return order.map((one) => (one === name ? other : one === other ? name : one));
}

/** What becomes of a deadline when a set is skipped: hours by which the next outing starts before its limit. */
export function skipMargin(set: CarriedSet, following: Round['following']): number | null {
  if (set.due === null || following === null) return null;
  return (Date.parse(set.due) - Date.parse(following.start)) / 3600_000;
}

/** The stop of the plan on which a set stands. */
export function stopOf(round: Round, name: string): Stop | undefined {
  return round.plan?.stops.find((stop) => stop.visits.some((visit) => visit.set === name));
}

/** Minutes behind the plan at a moment, going to a set; negative is ahead. Null without a plan. */
export function behind(round: Round, name: string, at: number): number | null {
  const visit = stopOf(round, name)?.visits.find((one) => one.set === name);
  return visit ? (at - Date.parse(visit.look)) / 60_000 : null;
}

/** When to leave a set at the latest, to be back in time: the walk back and the drive home, as planned. */
export function turnBackBy(round: Round, name: string): number | null {
  const stop = stopOf(round, name);
  const home = round.parkings.find((one) => one.name === stop?.parking)?.home_min;
  if (!round.plan || !stop || home === undefined || home === null) return null;
  return Date.parse(round.plan.latest_return) - (stop.back_min + home) * 60_000;
}

/** The set that is over its limit, or will be before its planned look (or within the hour, without a plan). */
export function runsOutFirst(rest: CarriedSet[], round: Round, at: number): CarriedSet | undefined {
  return byDue(rest.filter((one) => one.due !== null)).find((one) => {
    const look = stopOf(round, one.name)?.visits.find((visit) => visit.set === one.name)?.look;
    return Date.parse(one.due!) < Math.max(at, look === undefined ? at + 3_600_000 : Date.parse(look));
  });
}
