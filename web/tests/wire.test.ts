// What both sides agree on: the same files are read by the Python tests.
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { test } from 'node:test';
import { message, uuid7, type Told } from '../src/wire/event.ts';
import { rise } from '../src/units.ts';
import { isRound, READS, reliefOf, type Relief, type Round } from '../src/wire/round.ts';

const fixture = (name: string): unknown => JSON.parse(readFileSync(new URL(`../../wire/fixtures/${name}`, import.meta.url), 'utf8'));
export const carried = fixture('carried-round-1.json') as Round;

test('a round of every version that has shipped is read', () => {
  assert.ok(isRound(carried));
  assert.equal(carried.sets.length, 4);
});

test('a round of a newer page, or something else, is not', () => {
  assert.ok(!isRound({ ...carried, version: READS + 1 }));
  for (const other of [null, 1, [], {}, { tendline: 'carried-round' }]) assert.ok(!isRound(other));
});

test('a message is written as the fixture is', () => {
  const old = fixture('phone-events-1.json') as ReturnType<typeof message>;
  const made = message(old.via, old.events as Told[], new Date(old.sent_at));
  assert.deepEqual({ ...made, sent_at: old.sent_at }, old);
});

test('ids are UUIDs of version 7 and sort in the order of making, also when the clock goes back', () => {
  // RFC 9562, appendix A.6: 0x017F22E279B0 is 2022-02-22T19:22:22Z.
  assert.match(uuid7(0x017f22e279b0), /^017f22e2-79b0-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$/);
  const made = Array.from({ length: 9000 }, (_, n) => uuid7(0x017f22e279b1 - n));
  assert.deepEqual([...made].sort(), made);
  assert.equal(new Set(made).size, made.length);
});

test('the ground of a round is read; an older round has none', () => {
  const relief = fixture('carried-relief-1.json') as Relief;
  const of = (found: unknown) => reliefOf({ ...carried, relief: found as Relief });
  assert.equal(of(relief), relief);
  assert.equal(relief.lines.filter((line) => line.main).length, 1);
  assert.equal(carried.relief, undefined);
  assert.equal(reliefOf(carried), null);
  assert.equal(of(null), null);
});

test('no ground is drawn from another host, as another kind of picture, or with edges that enclose nothing', () => {
  const relief = fixture('carried-relief-1.json') as Relief;
  const of = (change: object) => reliefOf({ ...carried, relief: { ...relief, ...change } as Relief });
  for (const picture of ['https://example.com/a.webp', 'data:image/svg+xml;base64,PHN2Zy8+', 7]) assert.equal(of({ picture }), null);
  for (const change of [{ west: relief.east }, { north: null }, { lines: undefined }, { labels: undefined }]) assert.equal(of(change), null);
});

test('a step between heights is told in the units of the line', () => {
  // 0.3048 m in a foot, exactly (NIST SP 811).
  assert.equal(rise(12.192, 'us'), '40 ft');
  assert.equal(rise(10, 'metric'), '10 m');
});
