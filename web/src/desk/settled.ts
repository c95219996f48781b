/** Hook: a value once it has stopped changing for a moment, so that a slider does not ask at every step. */
import { useEffect, useState } from 'preact/hooks';

export function useSettled<T>(value: T, milliseconds: number): T {
  const [settled, setSettled] = useState(value);
  useEffect(() => {
    const timer = window.setTimeout(() => setSettled(value), milliseconds);
    return () => clearTimeout(timer);
  }, [value, milliseconds]);
  return settled;
}
