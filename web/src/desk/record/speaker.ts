/** Who sits at this browser. */
import { me } from '../ask';
import { line } from '../state';

/** Whoever this browser was let in for; on a line begun in it, its handler. */
export const speaker = (): string => {
  const person = me.value?.person ?? '';
  return person === '' || person === 'handler' ? line.value?.handler || person : person;
};
