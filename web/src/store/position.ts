/** Where the phone is and which way it points, where that is allowed; never needed. One watch for the whole page. */
import { signal } from '@preact/signals';
import type { Place } from '../wire/round';

export interface Here {
  place: Place;
  accuracy: number;
  at: number;
}
export const here = signal<Here | null>(null);
export const heading = signal<number | null>(null);

/** Starts watching; refused or missing, nothing happens. */
export function watch(): void {
  navigator.geolocation?.watchPosition(
    ({ coords, timestamp }) => {
      here.value = { place: [coords.longitude, coords.latitude], accuracy: coords.accuracy, at: timestamp };
    },
    () => (here.value = null),
    { enableHighAccuracy: true, maximumAge: 10_000, timeout: 60_000 },
  );
  globalThis.addEventListener?.('deviceorientationabsolute', (event) => {
    const { alpha } = event as DeviceOrientationEvent;
    if (alpha !== null) heading.value = (360 - alpha) % 360;
  });
}

/** The place to write with an entry: only a fresh one. */
export function fix(now: number): [number, number, number] | null {
  const one = here.value;
  return one !== null && now - one.at < 120_000 ? [one.place[0], one.place[1], Math.round(one.accuracy * 10) / 10] : null;
}
