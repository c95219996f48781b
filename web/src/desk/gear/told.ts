/** What the machine tells of a build, its parts and the stock. */
export interface BuildOne {
  file: string;
  name: string;
  text: string;
}
interface Loop {
  around_m: number;
  across_m: number;
  stop_m: number;
}
export interface Link {
  name: string;
  low_n: number | null;
  high_n: number | null;
  status: string;
  said: string;
  ratio: number | null;
  stands: string;
}
export interface ChainTold {
  breakaway: {
    low_n: number;
    high_n: number;
    pulls: number;
    mean_n: number | null;
    spread_n: number | null;
    next_within: number | null;
  } | null;
  legal: { profile: string; most_n: number; stands: string; verified: boolean; only_if_used: boolean; rule: string }[];
  links: Link[];
  weakest: string | null;
  warnings: string[];
}
export interface Finding {
  rule: string;
  holds: string;
  words: string;
  said: string[];
  source: string | null;
}
export interface Law {
  profile: string;
  in_use: boolean;
  standing: string;
  verified: boolean;
  wrong: Finding[];
  cannot_be_told: Finding[];
  kept: number;
}
interface Sum {
  without: string[];
}
export interface BuildTold {
  build: string;
  cable_length_m: number;
  largest: Loop;
  smallest: Loop | null;
  to_lock_m: number;
  to_lock_open_m: number;
  reach: { low_m: number; high_m: number };
  mass: Sum & { kg: number };
  cost: Sum & { total: number };
  laws: Law[];
  chain: ChainTold;
}
export interface CutListTold {
  opened_m: number;
  bound_m: number;
  material_m: number;
  proved: boolean;
  cuts: { stock: string; length_m: number; pieces: { piece: string; count: number; length_m: number }[]; left_m: number }[];
}
export interface PartsTold {
  build: string;
  devices: number;
  device_nights: number;
  catches_per_device_night: number;
  damage_per_device_night: number;
  ledger: { in_stock: number; in_field: number; other_builds: number };
  parts: {
    part: string;
    in_devices: number;
    spares: number;
    chance_short: number;
    pack: number;
    have: number | null;
    order: number | null;
  }[];
  pack: Sum & { kg: number };
  said: string[];
  cut_list: CutListTold | null;
}
export interface StockTold {
  stock: { part: string; length_m: number | null; count: number; received: number; used: number; counted_at: string | null; off: number | null }[];
  devices: { in_stock: number; in_field: number };
  out_until_rebuilt: { tag: string; set: string | null; why: string; since: string | null }[];
  rebuild: string;
  unbalanced: string[];
}
