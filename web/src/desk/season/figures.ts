/** Figures with as many digits as they bear, and their ranges. */
import type { Estimate } from './told';
import { words } from './words';

export const figure = (value: number): string =>
  Number.isInteger(value) ? String(value) : Math.abs(value) < 0.995 ? String(Number(value.toPrecision(2))) : value < 99.5 ? value.toFixed(1) : value.toFixed(0);
export const range = (one: Pick<Estimate, 'low' | 'high'>): string => words.range(figure(one.low), one.high === null ? words.noEnd : figure(one.high));
