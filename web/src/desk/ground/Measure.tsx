/** Measuring a way, and the area it goes round: the machine does the sum, on the ellipsoid. */
import { useAsked } from '../asked';
import { Faults } from '../parts/Faults';
import { units } from '../state';
import { area, way as length } from '../../units';
import { Places } from './Places';
import { texts } from './map';
import { read } from './told';
import { words } from './words';

export function Measure({ way, set }: { way: string; set: (way: string) => void }) {
  const places = read(way);
  return (
    <>
      <p><small>{words.measure.hint}</small></p>
      <Places many value={way} set={set} />
      {places.length > 1 && <Measured places={texts(places)} />}
    </>
  );
}

function Measured({ places }: { places: string[] }) {
  const found = useAsked<{ distance_m: number; area_m2: number | null }>('ground-measure', { places });
  return (
    <div aria-live="polite">
      {found.data && <p class="measured">{words.measure.way}: <b>{length(found.data.distance_m, units.value)}</b></p>}
      {found.data && found.data.area_m2 !== null && <p class="measured">{words.measure.area}: <b>{area(found.data.area_m2, units.value)}</b></p>}
      <Faults faults={found.faults} />
    </div>
  );
}
