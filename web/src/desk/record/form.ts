/** What the forms of the record know: kinds of event, their fields, how a value is told in the person's units. */
import type { Units } from '../../units';
import { amount } from '../../units';

export interface FieldTold {
  field: string;
  words: string;
  type: string;
  required: boolean;
  choices: string[];
  example: string;
}
export interface KindTold {
  kind: string;
  words: string;
  subject: string;
  needs_place: boolean;
  fields: FieldTold[];
}
export type Names = Record<string, string[]>;

/** The name of a field for the eye, without the unit that its key ends in. */
export const fieldName = (field: string): string => field.replace(/_(m|kg|n|deg|c|kmh|s)$/, '').replaceAll('_', ' ');
/** The name of a kind for the eye. */
export const kindName = (kind: string): string => kind.replaceAll('-', ' ');

/** A value of an event, in words and the person's units. */
export function told(field: string, value: unknown, units: Units): string {
  if (value === null || value === undefined) return '–';
  if (typeof value === 'boolean') return value ? 'yes' : 'no';
  if (typeof value === 'number') return amount(field, value, units);
  if (Array.isArray(value)) return field === 'outline' ? `${corners(value)} corners` : value.map((one) => told('', one, units)).join(', ');
  if (typeof value === 'object') return Object.entries(value).map(([key, one]) => `${key} ${told(field, one, units)}`).join(', ');
  return String(value);
}

const corners = (outline: unknown[]): number => (outline as number[][][][]).flat().reduce((sum, ring) => sum + ring.length - 1, 0);
