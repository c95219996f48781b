/** The round as the machine hands it out (field/carry.py). Nothing else knows its shape. */
export interface Duty {
  words: string;
  holds: string;
  said: string[];
  due_min: number | null;
  due_at: string | null;
  verified: boolean;
  confirm: string[];
  citation: string;
}
export interface Duties {
  profile: string;
  species: string;
  standing: Standing;
  alive: boolean;
  duties: Duty[];
}
/** What a profile holds of its agency's own guidance; no lines where it holds none. */
export interface Told {
  lines: string[];
  verified: boolean;
  citation: string;
  note: string;
}
export interface Guidance {
  profile: string;
  steps: Told;
  call: Told;
}
export type Standing = 'target' | 'nontarget' | 'domestic';
export type Place = [number, number];
export interface CarriedSet {
  name: string;
  tag: string | null;
  place: Place;
  accuracy_m: number | null;
  parcel: string;
  landmark: string;
  target: string;
  loop_m: number | null;
  bottom_m: number | null;
  working: boolean;
  verdict: string;
  verified: boolean;
  since: string | null;
  due: string | null;
  act_by: string | null;
  rule: string;
  profile: string;
  citation: string;
  own_due: string | null;
  last_seen: string | null;
  marks: string[];
  note: string;
}
export interface Visit {
  order: number;
  set: string;
  look: string;
  leave: string;
  walk_min: number;
  walk_m: number;
  bring: string[];
  dark: boolean | null;
}
export interface Stop {
  number: number;
  parking: string;
  note: string;
  drive_min: number;
  drive_m: number;
  arrive: string;
  visits: Visit[];
  back_min: number;
  depart: string;
}
export interface Plan {
  day: string;
  fits: boolean;
  leave: string;
  back: string;
  earliest_start: string;
  latest_return: string;
  stops: Stop[];
  left_out: { set: string; must: boolean; due: string | null; why: string }[];
  carry: string[];
  cautions: string[];
}
export interface Parcel {
  name: string;
  title: string;
  owner: string;
  phone: string;
  note: string;
  outline: Place[][][];
}
export interface Spot {
  name: string;
  place: Place;
  note: string;
  home_min?: number | null;
}
/** The ground (field/carry_relief.py): light and shade as a picture inside the document, heights as lines. */
export interface Relief {
  /** Changes whenever anything of it does; alone when the phone has it already. Not in rounds of older machines. */
  id?: string;
  picture: string;
  west: number;
  south: number;
  east: number;
  north: number;
  step_m: number;
  lines: { height_m: number; main: boolean; places: Place[] }[];
  labels: { text: string; turn_deg: number; place: Place }[];
  said: string[];
}
export interface Round {
  tendline: 'carried-round';
  version: number;
  made_at: string;
  line: string;
  invented: boolean;
  zone: string;
  units: 'us' | 'metric';
  who: string;
  seq: number;
  home: Place | null;
  plan: Plan | null;
  why_no_plan: string;
  following: { start: string; end: string } | null;
  sets: CarriedSet[];
  parkings: Spot[];
  landmarks: Spot[];
  parcels: Parcel[];
  tags: string[];
  walks: Place[][];
  duties: Duties[];
  cautions: string[];
  /** Not in rounds of older machines. */
  guidance?: Guidance[];
  relief?: Relief | null;
  why_no_relief?: string;
}

/** Newest version of the round this page can read. */
export const READS = 1;

/** Whether something read from a file or the network is a round this page can show. */
export function isRound(found: unknown): found is Round {
  const round = found as Round;
  return (
    typeof found === 'object' && found !== null && round.tendline === 'carried-round' &&
    typeof round.version === 'number' && round.version <= READS && Array.isArray(round.sets)
  );
}

/** The round with its ground: the one this phone has already, when the machine sent only its name. */
export function withGround(found: Round, before: Round | null): Round {
  const { relief } = found;
  if (!relief?.id || relief.picture !== undefined) return found;
  return { ...found, relief: before?.relief?.id === relief.id ? before.relief : null };
}

const PICTURE = 'data:image/webp;base64,';

/** The ground of a round; null when it has none, or one that this page cannot draw. Never a picture from elsewhere. */
export function reliefOf(round: Round): Relief | null {
  const relief = round.relief;
  if (!relief || typeof relief.picture !== 'string' || !relief.picture.startsWith(PICTURE)) return null;
  const { west, south, east, north } = relief;
  const whole = [west, south, east, north].every(Number.isFinite) && west < east && south < north;
  return whole && Array.isArray(relief.lines) && Array.isArray(relief.labels) ? relief : null;
}
