// The rules the page follows on its own, without a machine.
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { test } from 'node:test';
import { asOf, caught, complete, FOUND, likely, start } from '../src/logic/check.ts';
import { clockOf } from '../src/logic/clock.ts';
import { freeTags, nameFault } from '../src/logic/made.ts';
import { behind, byDue, byNearness, moved, planOrder, runsOutFirst, skipMargin, turnBackBy } from '../src/logic/order.ts';
import { standing } from '../src/logic/standing.ts';
import { bearing, metres, octant } from '../src/logic/way.ts';
import { distance, stretch } from '../src/units.ts';
import type { Told } from '../src/wire/event.ts';
import type { Round } from '../src/wire/round.ts';

const round = JSON.parse(readFileSync(new URL('../../wire/fixtures/carried-round-1.json', import.meta.url), 'utf8')) as Round;
const at = (text: string) => Date.parse(text);

test('distance and bearing agree with the ellipsoid to its flattening', () => {
  // Vincenty 1975 / Karney 2013 (GeographicLib): Flinders Peak to Buninyong, GDA94 technical manual:
  // 54972.271 m, 306 deg 52 min 05.37 s. A sphere is within 0.6 per cent.
  const flinders: [number, number] = [144.42486788, -37.95103341];
  const buninyong: [number, number] = [143.92649552, -37.65282113];
  assert.ok(Math.abs(metres(flinders, buninyong) / 54972.271 - 1) < 0.006);
  assert.ok(Math.abs(bearing(flinders, buninyong) - 306.868) < 0.2);
  assert.equal(octant(306.9), 7);
  assert.equal(octant(359), 0);
});

test('the order is the plan’s, then what runs out first', () => {
  const planned = round.plan!.stops.flatMap((stop) => stop.visits.map((visit) => visit.set));
  assert.deepEqual(planOrder(round), planned);
  const bare = planOrder({ ...round, plan: null });
  assert.deepEqual([...bare].sort(), [...planned].sort());
});

test('a set whose limit is not known comes before all that are', () => {
  const some = [{ ...round.sets[0]!, name: 'A' }, { ...round.sets[1]!, name: 'B', due: null }];
  assert.deepEqual(byDue(some).map((one) => one.name), ['B', 'A']);
});

test('nearest first starts from where one stands', () => {
  const from = round.sets.find((one) => one.name === 'S1')!.place;
  assert.equal(byNearness(round.sets, from)[0]!.name, 'S1');
  assert.equal(byNearness(round.sets, from).length, round.sets.length);
});

test('a name moves among what is left and past nothing else', () => {
  const order = ['A', 'done', 'B', 'C'];
  assert.deepEqual(moved(order, ['A', 'B', 'C'], 'B', -1), ['B', 'done', 'A', 'C']);
  assert.deepEqual(moved(order, ['A', 'B', 'C'], 'A', -1), order);
  assert.deepEqual(moved(order, ['A', 'B', 'C'], 'C', 1), order);
});

test('a skip is measured against the next outing', () => {
  const set = { ...round.sets[0]!, due: '2027-01-13T05:00:00Z' };
  assert.equal(skipMargin(set, { start: '2027-01-13T07:30:00Z', end: '2027-01-13T09:00:00Z' }), -2.5);
  assert.equal(skipMargin({ ...set, due: null }, round.following), null);
  assert.equal(skipMargin(set, null), null);
});

test('behind the plan and the time to turn back follow from the plan', () => {
  const visit = round.plan!.stops[0]!.visits[0]!;
  assert.equal(behind(round, visit.set, at(visit.look) + 300_000), 5);
  const stop = round.plan!.stops[0]!;
  const home = round.parkings.find((one) => one.name === stop.parking)!.home_min!;
  assert.equal(turnBackBy(round, visit.set), at(round.plan!.latest_return) - (stop.back_min + home) * 60_000);
});

test('what runs out before its turn is told', () => {
  const [first, second] = round.sets;
  const soon = { ...second!, due: '2027-01-12T11:00:00Z' };
  assert.equal(runsOutFirst([first!, soon], { ...round, plan: null }, at('2027-01-12T10:30:00Z'))?.name, soon.name);
  assert.equal(runsOutFirst([{ ...soon, due: null }], round, at('2027-01-12T10:30:00Z')), undefined);
});

test('a check done and taken back is not done; not found is no look', () => {
  const check = (id: string, found_as: string): Told => ({
    id, kind: 'check', version: 1, happened_at: '2027-01-12T11:30:00Z', recorded_at: '2027-01-12T11:30:00Z', by: 'Ann', place: null,
    body: { set: 'N1', found_as, what_happened: 'nothing', done: 'looked', left_as: 'working' },
  });
  const since = '2027-01-12T11:00:00Z';
  const one = check('a', 'working');
  const undone: Told = { ...one, id: 'b', kind: 'void', body: { of: 'a', why: 'x' } };
  assert.equal(standing(round.sets, [one], since).get('N1')!.done, true);
  assert.equal(standing(round.sets, [one, undone], since).get('N1')!.done, false);
  assert.equal(standing(round.sets, [check('a', 'not-found')], since).get('N1')!.missed, true);
});

test('two taps are enough for the common case, and every way of being found has a start', () => {
  assert.ok(complete(start('working')));
  for (const found of FOUND) {
    if (found === 'holding') continue;
    assert.equal(start(found).found_as, found);
    assert.ok(likely(found).length > 0, found);
    assert.notEqual(start(found).done, '', found);
  }
  assert.ok(!complete(start('knocked-down')));
});

test('what is not seen is left as found', () => {
  for (const found of ['not-found', 'not-reached', 'gone']) assert.equal(start(found).left_as, 'as-found');
});

test('a catch is said in the words of the record', () => {
  assert.equal(caught('target', 'kept'), 'caught-kept');
  assert.equal(caught('nontarget', 'released-injured'), 'nontarget-injured');
  assert.equal(caught('domestic', 'released'), 'domestic-released');
});

test('a late entry is the latest such time of the line’s zone', () => {
  const now = new Date('2027-01-12T11:00:00Z'); // 06:00 in New York
  assert.equal(asOf('05:40', now, 'America/New_York')?.toISOString(), '2027-01-12T10:40:00.000Z');
  assert.equal(asOf('06:30', now, 'America/New_York')?.toISOString(), '2027-01-11T11:30:00.000Z');
  assert.equal(asOf('25:00', now, 'UTC'), null);
  // The night of 14 March 2027 the clocks of New York go forward at 02:00: 23:30 was at 04:30Z.
  assert.equal(asOf('23:30', new Date('2027-03-14T10:00:00Z'), 'America/New_York')?.toISOString(), '2027-03-14T04:30:00.000Z');
});

test('the loop clock reads what is left, and never rounds up', () => {
  const set = { ...round.sets[0]!, verified: true, since: '2027-01-12T00:00:00Z', due: '2027-01-13T00:00:00Z' };
  assert.deepEqual(clockOf(set, at('2027-01-12T18:00:00Z')), { reading: 'left', share: 0.25, minutes: 360 });
  assert.equal(clockOf(set, at('2027-01-13T00:01:00Z')).reading, 'late');
  assert.equal(clockOf({ ...set, due: null }, 0).reading, 'not-verified');
  assert.equal(stretch(59.99), '59 min');
  assert.equal(stretch(-61), '1 h 01');
});

test('lengths are exact where the law of units is', () => {
  assert.equal(distance(30.48, 'us'), '100 ft'); // 0.3048 m exactly, 1959
  assert.equal(distance(1609.344, 'us'), '1.0 mi');
  assert.equal(distance(1234, 'metric'), '1.2 km');
});

test('a new set has a name that can be shouted and is free, and a device that is not out there', () => {
  const free = { ...round, tags: ['900', '901'] };
  const made = { id: '1', kind: 'set-made', body: { set: 'Z9', tag: '900' } } as unknown as Told;
  const back = { id: '2', kind: 'void', body: { of: '1' } } as unknown as Told;
  // The same names as tests/unit/core holds for core/ids.py: letters, digits, single dashes, 12 at most.
  for (const good of ['M4', 'a-b', 'North-12']) assert.equal(nameFault(good, free, []), '');
  for (const bad of ['', '-a', 'a--b', 'a b', 'M_4', 'é', 'x'.repeat(13)]) assert.equal(nameFault(bad, free, []), 'form');
  for (const taken of [round.sets[0]!.name.toLowerCase(), 'Home', 'z9']) assert.equal(nameFault(taken, free, [made]), 'taken');
  assert.equal(nameFault('Z9', free, [made, back]), '');
  assert.deepEqual(freeTags(free, [made]), ['901']);
  assert.deepEqual(freeTags(free, [made, back]), ['900', '901']);
});
