/** Distance and bearing. Pure. */
import type { Place } from '../wire/round';

const RADIUS_M = 6_371_008.8; // mean radius R1, Moritz 2000 (GRS 80)
const rad = (degrees: number) => (degrees * Math.PI) / 180;

/** Metres between two places, on a sphere: within 0.6 per cent of the ellipsoid. */
export function metres(a: Place, b: Place): number {
  const [dx, dy] = [rad(b[0] - a[0]), rad(b[1] - a[1])];
  const h = Math.sin(dy / 2) ** 2 + Math.cos(rad(a[1])) * Math.cos(rad(b[1])) * Math.sin(dx / 2) ** 2;
  return 2 * RADIUS_M * Math.asin(Math.min(1, Math.sqrt(h)));
}

/** Bearing from one place to another, clockwise from north [degrees, 0 to 360). */
export function bearing(a: Place, b: Place): number {
  const dx = rad(b[0] - a[0]);
  const y = Math.sin(dx) * Math.cos(rad(b[1]));
  const x = Math.cos(rad(a[1])) * Math.sin(rad(b[1])) - Math.sin(rad(a[1])) * Math.cos(rad(b[1])) * Math.cos(dx);
  return ((Math.atan2(y, x) * 180) / Math.PI + 360) % 360;
}

/** One of eight names of a direction, as a number 0 (north) to 7, clockwise. */
export const octant = (degrees: number): number => Math.round(degrees / 45) % 8;
