/** Which layers the map shows; what each looks like stands beside it. */
import { useState } from 'preact/hooks';
import { LAYERS, type LayerName } from './map';
import { words } from './words';

const KEPT = 'tendline-desk-layers';
const OFF: LayerName[] = ['setbacks'];

/** Holds which layers are on; this browser remembers it. */
export function useLayers() {
  const [on, setOn] = useState<LayerName[]>(() => JSON.parse(localStorage.getItem(KEPT) ?? 'null') ?? LAYERS.filter((one) => !OFF.includes(one)));
  const set = (name: LayerName, shown: boolean): void => {
    const now = shown ? [...on, name] : on.filter((one) => one !== name);
    localStorage.setItem(KEPT, JSON.stringify(now));
    setOn(now);
  };
  const each = (tell: (name: LayerName, on: boolean) => void): void => LAYERS.forEach((name) => tell(name, on.includes(name)));
  return { on, set, each };
}

export function LayersPanel({ layers }: { layers: ReturnType<typeof useLayers> }) {
  return (
    <fieldset class="layers">
      <legend>{words.layersTitle}</legend>
      {LAYERS.map((name) => (
        <label key={name}>
          <input type="checkbox" checked={layers.on.includes(name)} onChange={(event) => layers.set(name, event.currentTarget.checked)} />
          <span>{words.layers[name]} <small>{words.looks[name]}</small></span>
        </label>
      ))}
      <p><small>{words.ring}</small></p>
    </fieldset>
  );
}
