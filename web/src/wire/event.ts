/** Events as a phone tells them (field/wire.py), and their ids. */
export interface Told {
  id: string;
  kind: string;
  version: number;
  happened_at: string;
  recorded_at: string;
  by: string;
  place: [number, number, number | null] | null;
  body: Record<string, unknown>;
}
export interface Check extends Record<string, unknown> {
  set: string;
  found_as: string;
  what_happened: string;
  done: string;
  left_as: string;
}
export interface Message {
  tendline: 'phone-events';
  version: 1;
  via: string;
  sent_at: string;
  app: string;
  events: Told[];
}

/** Of this page; told with every message, so that an odd one can be traced. */
export const APP = '1';

/** Wraps events as they go out, over the air or as a file. */
export function message(via: string, events: Told[], now: Date): Message {
  return { tendline: 'phone-events', version: 1, via, sent_at: now.toISOString(), app: APP, events };
}

let lastMillis = 0;
let count = 0;

/** UUID version 7 (RFC 9562, 5.7; 6.2 method 1): sorts in the order of making, also when the clock goes back. */
export function uuid7(now: number): string {
  if (now > lastMillis) {
    lastMillis = now;
    count = 0;
  } else if (++count > 0xfff) {
    lastMillis++;
    count = 0;
  }
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  const view = new DataView(bytes.buffer);
  view.setUint16(0, Math.floor(lastMillis / 2 ** 32));
  view.setUint32(2, lastMillis % 2 ** 32);
  view.setUint16(6, 0x7000 | count);
  view.setUint8(8, (view.getUint8(8) & 0x3f) | 0x80);
  const hex = [...bytes].map((byte) => byte.toString(16).padStart(2, '0')).join('');
  return `${hex.slice(0, 8)}-${hex.slice(8, 12)}-${hex.slice(12, 16)}-${hex.slice(16, 20)}-${hex.slice(20)}`;
}
