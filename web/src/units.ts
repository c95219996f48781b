/** The only conversions for the eye: lengths, stretches of time, clock times in the line's zone. */
export type Units = 'us' | 'metric';
const FOOT_M = 0.3048; // exact, 1959
const MILE_M = 1609.344; // exact, 1959
const ACRE_M2 = 4046.8564224; // 43 560 square feet

/** A distance to walk. */
export function distance(metres: number, units: Units): string {
  if (units === 'us') {
    return metres < MILE_M / 4 ? `${round5(metres / FOOT_M)} ft` : `${(metres / MILE_M).toFixed(1)} mi`;
  }
  return metres < 1000 ? `${round5(metres)} m` : `${(metres / 1000).toFixed(1)} km`;
}
/** A short distance as it was measured: not rounded to fives. */
export function short(metres: number, units: Units): string {
  if (units === 'us') return metres < 30 ? `${(metres / FOOT_M).toFixed(metres < 3 ? 1 : 0)} ft` : distance(metres, units);
  return metres < 30 ? `${metres.toFixed(metres < 3 ? 1 : 0)} m` : distance(metres, units);
}
/** A way as it was measured on the map. */
export const way = (metres: number, units: Units): string => (units === 'us' ? `${Math.round(metres / FOOT_M)} ft (${(metres / MILE_M).toFixed(2)} mi)` : `${Math.round(metres)} m`);
/** An area of land. */
export const area = (squareMetres: number, units: Units): string => (units === 'us' ? `${(squareMetres / ACRE_M2).toFixed(squareMetres < 10 * ACRE_M2 ? 2 : 0)} acres` : `${(squareMetres / 10_000).toFixed(squareMetres < 100_000 ? 2 : 1)} ha`);
/** A step between heights. */
export const rise = (metres: number, units: Units): string => (units === 'us' ? `${Math.round(metres / FOOT_M)} ft` : `${Math.round(metres)} m`);
const round5 = (value: number) => (value < 100 ? Math.round(value) : Math.round(value / 5) * 5);

const INCH_M = 0.0254; // exact, 1959
/** The unit of small lengths: of a loop, a height, a depth of snow. */
export const smallUnit = (units: Units): string => (units === 'us' ? 'in' : 'cm');
/** How many metres one of that unit is. */
export const smallMetres = (units: Units): number => (units === 'us' ? INCH_M : 0.01);
/** A small length as a number, to the tenth. */
export const smallNumber = (metres: number, units: Units): number => Math.round((metres / smallMetres(units)) * 10) / 10;
/** A small length. */
export const small = (metres: number, units: Units): string => `${smallNumber(metres, units)} ${smallUnit(units)}`;
/** A length of cable on a roll. */
export const long = (metres: number, units: Units): string =>
  units === 'us' ? (metres > 3 ? `${(metres / FOOT_M).toFixed(1)} ft` : small(metres, units)) : `${metres.toFixed(2)} m`;
const POUND_N = 4.4482216152605; // exact: pound, 1959; standard gravity
const POUND_KG = 0.45359237; // exact, 1959
/** A load on a cable. */
export const load = (newtons: number, units: Units): string =>
  units === 'us' ? `${Math.round(newtons / POUND_N)} lb` : `${Math.round(newtons)} N`;
/** A weight to carry. */
export const weight = (kilograms: number, units: Units): string =>
  units === 'us' ? `${(kilograms / POUND_KG).toFixed(2)} lb` : `${kilograms.toFixed(2)} kg`;

/** A stretch of time: 18 h 20, 35 min. Cut, never rounded up: nobody is promised a minute. */
export function stretch(minutes: number): string {
  const whole = Math.floor(Math.abs(minutes));
  return whole < 60 ? `${whole} min` : `${Math.floor(whole / 60)} h ${String(whole % 60).padStart(2, '0')}`;
}

/** Making one takes far longer than using it. */
const forms = new Map<string, Intl.DateTimeFormat>();

/** A clock time, with the day when it is not within twelve hours. */
export function clock(when: string | number | Date, zone: string, now: number): string {
  const at = new Date(when);
  const near = Math.abs(at.getTime() - now) < 12 * 3600_000;
  const day: Intl.DateTimeFormatOptions = near ? {} : { weekday: 'short' };
  const key = `${zone} ${near}`;
  const form = forms.get(key) ?? new Intl.DateTimeFormat('en-GB', { ...day, hour: '2-digit', minute: '2-digit', hourCycle: 'h23', timeZone: zone });
  forms.set(key, form);
  return form.format(at).replace(',', '');
}

const few = (value: number): string => String(Number(value.toPrecision(3)));

/** A length of gear and snow: inches below ten feet, centimetres below three metres. */
export function length(metres: number, units: Units): string {
  if (units === 'us') return Math.abs(metres) < 10 * FOOT_M ? `${few(metres / INCH_M)} in` : distance(metres, units);
  return Math.abs(metres) < 3 ? `${few(metres * 100)} cm` : distance(metres, units);
}

/** A number with the unit that the ending of its key says. */
export function amount(key: string, value: number, units: Units): string {
  const us = units === 'us';
  if (key.endsWith('_kg')) return us ? `${few(value / POUND_KG)} lb` : `${few(value)} kg`;
  if (key.endsWith('_kmh')) return us ? `${few((value * 1000) / MILE_M)} mph` : `${few(value)} km/h`;
  if (key.endsWith('_deg')) return `${few(value)}°`;
  if (key.endsWith('_m')) return length(value, units);
  if (key.endsWith('_n')) return us ? `${few(value / POUND_N)} lb` : `${few(value)} N`;
  if (key.endsWith('_c')) return us ? `${few((value * 9) / 5 + 32)} °F` : `${few(value)} °C`;
  if (key.endsWith('_s')) return stretch(value / 60);
  return few(value);
}
