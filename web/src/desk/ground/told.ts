/** The document of the ground (jobs/schemas/ground.schema.json), and what a click is for. */
import { clockOf, type Clock } from '../../logic/clock';
import type { Place, Relief } from '../../wire/round';

export type { Place };
/** Polygons, each an outer ring and holes. */
export type Area = Place[][][];
export interface SetTold {
  set: string;
  place: Place;
  accuracy_m: number | null;
  taken_m: number;
  parcel: string;
  landmark: string;
  tag: string | null;
  target: string;
  event: string | null;
  clock: { verdict: string; verified: boolean; since: string | null; due_at: string | null; working: boolean };
  reach: { low_m: number; high_m: number; said: string[] } | null;
  stands: { side: 'right side' | 'wrong side' | 'too close to call'; inside_m: number; chance: number } | null;
}
export interface ParcelTold {
  parcel: string;
  title: string;
  owner: string;
  phone: string;
  area: Area;
  area_m2: number;
  leave: { stands: boolean; words: string };
  law: { holds: string; words: string }[];
  event: string | null;
}
export type Shape = { type: 'Point'; coordinates: Place } | { type: 'LineString'; coordinates: Place[] } | { type: 'MultiPolygon'; coordinates: Area };
export interface FeatureTold {
  name: string;
  feature: string;
  shape: Shape;
  where: string;
  drawn: string | null;
}
export interface GroundTold {
  now: string;
  heights: boolean;
  classes: string[];
  home: Place | null;
  sets: SetTold[];
  parcels: ParcelTold[];
  parkings: { parking: string; place: Place; parcels: string[]; note: string; event: string | null }[];
  landmarks: { landmark: string; place: Place; event: string | null }[];
  features: FeatureTold[];
  setbacks: { feature: string; rule: string; words: string; distance_m: number; law: string; area: Area }[];
  barriers: { name: string; lines: Place[][]; area: Area }[];
  signs: { species: string; how_sure: string | null; note: string; place: Place; at: string; event: string }[];
}
export interface ReliefTold {
  relief: Relief | null;
  why: string;
}
export interface Layer {
  type: 'FeatureCollection';
  features: { geometry: Shape | { type: 'MultiPolygon'; coordinates: Area }; properties: Record<string, string | number> }[];
}
export interface OnFoot {
  starts: { name: string }[];
  bands: Layer;
  sets: { set: string; walk_min: number | null }[];
  said: string[];
}

/** What a click on the map is for: one place, several, or nothing but looking. */
export type Pick = 'none' | 'one' | 'many';

/** The loop clock of a set at a moment. */
export const clockNow = (one: SetTold, at: number): Clock => clockOf({ ...one.clock, due: one.clock.due_at } as Parameters<typeof clockOf>[0], at);

/** A place as it is written: longitude first; seven digits are about a centimetre. */
export const written = ([lon, lat]: Place): string => `${lon.toFixed(6)},${lat.toFixed(6)}`;
/** Reads places, one in each line; what is no place is left out. */
export function read(text: string): Place[] {
  const numbers = text.split(/[\n;]+/).map((line) => line.split(',').map((one) => (one.trim() === '' ? Number.NaN : Number(one))));
  return numbers.filter((one) => one.length >= 2 && one.slice(0, 2).every(Number.isFinite)).map(([lon, lat]) => [lon!, lat!]);
}
