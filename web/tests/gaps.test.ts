// What breaks when outings fall away, worked out by hand.
import assert from 'node:assert/strict';
import { test } from 'node:test';
import { broken, differing, fallen, looksOf, tried, type Plan } from '../src/desk/weeks/gaps.ts';

const outing = (at: string, looks: [string, string | null][]) => ({
  who: 'Ann', window: { from: at, to: at }, leave: at, back: at, drive_m: 0, walk_m: 0,
  stops: [{ parking: 'gate', arrive: at, depart: at, looks: looks.map(([set, due_at]) => ({ set, at, due_at })) }],
});
const row = (set: string, looks: string[], largest_gap_h: number | null) => ({ set, rule: '', looks, largest_gap_h, least_slack_h: null, tightest_at: null, overdue: false });
/** A is looked at daily at six under a limit of 36 hours, B every other day. */
const plan = {
  from: '2027-01-15T20:00:00Z', to: '2027-01-19T00:00:00Z', status: 'feasible', hours: 3, bound_h: null, floor_h: null, drive_m: 0,
  outings: [
    outing('2027-01-16T06:00:00Z', [['A', '2027-01-16T18:00:00Z'], ['B', '2027-01-16T18:00:00Z']]),
    outing('2027-01-17T06:00:00Z', [['A', '2027-01-17T18:00:00Z']]),
    outing('2027-01-18T06:00:00Z', [['A', '2027-01-18T18:00:00Z'], ['B', null]]),
  ],
  sets: [row('A', ['1', '2', '3'], 24), row('B', ['1', '3'], 48)],
  overdue: [], every_day: null, as_before: null, risk: null, why: null, reliefs: [], said: [],
} as Plan;
const at = (text: string) => Date.parse(text);

test('with every outing made nothing breaks', () => {
  assert.deepEqual(broken(plan, new Set()), []);
  assert.deepEqual(looksOf(plan).get('B')!.map((one) => one.outing), [0, 2]);
});

test('a limit runs on to the next look that is left', () => {
  // The second goes: A was last seen on the 16th at six, so its limit of the 17th at 18 passes before the 18th.
  assert.deepEqual(broken(plan, new Set([1])), [{ set: 'A', due: at('2027-01-17T18:00:00Z'), next: at('2027-01-18T06:00:00Z') }]);
});

test('a limit that passes within the days with no look after is told', () => {
  assert.deepEqual(broken(plan, new Set([2])), [{ set: 'A', due: at('2027-01-18T18:00:00Z'), next: null }]);
});

test('two in a row break once, at the first limit', () => {
  assert.deepEqual(broken(plan, new Set([0, 1])), [
    { set: 'A', due: at('2027-01-16T18:00:00Z'), next: at('2027-01-18T06:00:00Z') },
    { set: 'B', due: at('2027-01-16T18:00:00Z'), next: at('2027-01-18T06:00:00Z') },
  ]);
});

test('plans are told apart set by set', () => {
  const other = { ...plan, sets: [row('A', ['1', '2', '3'], 24), row('B', ['1'], 60), row('C', ['1'], null)] } as Plan;
  assert.deepEqual(differing(plan, other), [
    { set: 'B', looks: [2, 1], gap: [48, 60] },
    { set: 'C', looks: [0, 1], gap: [null, null] },
  ]);
});

test('a window pulled in drops its outing only when the outing no longer fits', () => {
  const [start, end] = [at('2027-01-17T05:00:00Z'), at('2027-01-17T08:00:00Z')];
  assert.deepEqual([...fallen(plan, new Set([0]), new Map([[1, { from: start, to: end }]]))], [0]);
  assert.deepEqual([...fallen(plan, new Set(), new Map([[1, { from: start, to: start + 1_800_000 }]]))], [1]);
  assert.deepEqual([...fallen(plan, new Set(), new Map([[1, { from: end, to: end + 1_800_000 }]]))], [1]);
});

test('what is tried is asked for as windows that fall away and windows instead', () => {
  const moved = new Map([[1, { from: at('2027-01-17T05:30:00Z'), to: at('2027-01-17T08:00:00Z') }], [2, { from: at('2027-01-18T05:30:00Z'), to: at('2027-01-18T08:00:00Z') }]]);
  assert.deepEqual(tried(plan, new Set([2]), moved), {
    apart: ['2027-01-17T06:00:00Z Ann', '2027-01-18T06:00:00Z Ann'],
    also: ['2027-01-17T05:30:00.000Z/2027-01-17T08:00:00.000Z Ann'],
  });
});
