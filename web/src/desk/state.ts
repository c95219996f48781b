/** What every view of the desk page shares: which line, which view, and that the record has grown. */
import { signal } from '@preact/signals';
import type { Units } from '../units';
import { ask } from './ask';

export interface LineTold {
  begun: boolean;
  folder: string;
  name: string;
  zone: string;
  units: Units;
  handler: string;
  home: [number, number] | null;
  profiles: string[];
  invented: boolean;
  now: string;
  stamp: number;
}
export interface At {
  view: string;
  /** What the view is to show first: a set, a parcel, a paper. */
  target: string;
}

export const line = signal<LineTold | null>(null);
/** Grows whenever the record does: views ask again then. */
export const stamp = signal(0);
export const units = signal<Units>((localStorage.getItem('tendline-units') as Units | null) ?? 'us');
export const theme = signal(localStorage.getItem('tendline-desk-theme') ?? 'auto');
export const at = signal<At>(read());

function read(): At {
  const [view = '', ...target] = location.hash.replace(/^#\/?/, '').split('/');
  return { view, target: decodeURIComponent(target.join('/')) };
}

/** Goes to a view. */
export function go(view: string, target = ''): void {
  location.hash = `#/${view}${target ? `/${encodeURIComponent(target)}` : ''}`;
}

/** Asks what line this is, and whether its record has grown. */
export async function refresh(): Promise<void> {
  const told = await ask<LineTold>('line');
  if (told.begun && localStorage.getItem('tendline-units') === null) units.value = told.units;
  line.value = told;
  stamp.value = told.stamp ?? 0;
}

/** The present where the line is, going on between two answers. */
let skew = 0;
line.subscribe((told) => {
  if (told?.now) skew = Date.parse(told.now) - Date.now();
});
export const present = (): number => Date.now() + skew;

globalThis.addEventListener('hashchange', () => (at.value = read()));
units.subscribe((value) => {
  if (line.peek() !== null && value !== line.peek()?.units) localStorage.setItem('tendline-units', value);
});
