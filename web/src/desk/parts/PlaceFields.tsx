/** A place, typed or asked of the browser: latitude and longitude each in a field of its own, so that nobody swaps them. */
import { useState } from 'preact/hooks';
import { words } from './words';

export interface PlaceTyped {
  lat: string;
  lon: string;
  accuracy: string;
}
export const NOWHERE: PlaceTyped = { lat: '', lon: '', accuracy: '' };
export const isTold = (place: PlaceTyped): boolean => place.lat.trim() !== '' || place.lon.trim() !== '';
/** As the command line takes it: longitude first. */
export const placeText = (place: PlaceTyped): string =>
  [place.lon, place.lat, ...(place.accuracy ? [place.accuracy] : [])].map((one) => one.trim()).join(',');
/** As numbers; NaN where it is none. */
export const lonLat = (place: PlaceTyped): [number, number] => [read(place.lon), read(place.lat)];
const read = (text: string): number => (text.trim() === '' ? Number.NaN : Number(text));

export function PlaceFields({ name, value, set, accuracy = false }: { name: string; value: PlaceTyped; set: (place: PlaceTyped) => void; accuracy?: boolean }) {
  const [said, setSaid] = useState('');
  const locate = (): void => {
    setSaid(words.place.asking);
    navigator.geolocation.getCurrentPosition(
      ({ coords }) => {
        setSaid(words.place.found(Math.round(coords.accuracy)));
        set({ lat: coords.latitude.toFixed(6), lon: coords.longitude.toFixed(6), accuracy: String(Math.max(1, Math.round(coords.accuracy))) });
      },
      (problem) => setSaid(problem.code === problem.PERMISSION_DENIED ? words.place.denied : words.place.none),
      { enableHighAccuracy: true, timeout: 20_000 },
    );
  };
  const typed = (text: string): void => {
    const pair = /^\s*(-?\d+(?:\.\d+)?)\s*[,;\s]\s*(-?\d+(?:\.\d+)?)\s*$/.exec(text);
    set(pair ? { ...value, lat: pair[1]!, lon: pair[2]! } : { ...value, lat: text });
  };
  return (
    <fieldset class="place">
      <legend>{name}</legend>
      <label>{words.place.lat} <input inputMode="decimal" size={12} value={value.lat} onInput={(event) => typed(event.currentTarget.value)} /></label>
      <label>{words.place.lon} <input inputMode="decimal" size={12} value={value.lon} onInput={(event) => set({ ...value, lon: event.currentTarget.value })} /></label>
      {accuracy && <label>{words.place.accuracy} <input inputMode="decimal" size={5} value={value.accuracy} onInput={(event) => set({ ...value, accuracy: event.currentTarget.value })} /></label>}
      {'geolocation' in navigator && <button type="button" onClick={locate}>{words.place.locate}</button>}
      <p><small aria-live="polite">{said || words.place.hint}</small></p>
    </fieldset>
  );
}
