/** The map of the field page, and with relief.ts its only door to the map library: sets, parkings, parcels, ways on foot and one's own place, on a canvas. */
import * as L from 'leaflet';
import 'leaflet/dist/leaflet.css';
import type { SetNow } from '../logic/standing';
import type { Here } from '../store/position';
import { reliefOf, type Place, type Round } from '../wire/round';
import { words } from '../words';
import { drawRelief } from './relief';

export interface Ground {
  showHere: (here: Here) => void;
  remove: () => void;
}
const at = ([lon, lat]: Place): L.LatLngTuple => [lat, lon];

/** Draws the ground of a round into an element that has a size. */
export function drawGround(box: HTMLElement, of: Round, stands: Map<string, SetNow>, next: string): Ground {
  const style = getComputedStyle(document.documentElement);
  const ink = style.getPropertyValue('--ink').trim() || '#000';
  const strong = style.getPropertyValue('--strong').trim() || ink;
  const map = L.map(box, { preferCanvas: true, zoomControl: true, attributionControl: false });
  const relief = reliefOf(of);
  if (relief) drawRelief(map, relief, style, words.ground.shade).addTo(map);
  for (const parcel of of.parcels) {
    L.polygon(parcel.outline.map((polygon) => polygon.map((ring) => ring.map(at))), { color: ink, weight: 1, dashArray: '6 4', fill: false })
      .bindTooltip(parcel.title)
      .addTo(map);
  }
  for (const walk of of.walks) L.polyline(walk.map(at), { color: ink, weight: 2, opacity: 0.7 }).addTo(map);
  for (const spot of of.parkings) square(spot.place, ink).bindTooltip(`${words.ground.parking} ${spot.name}`).addTo(map);
  for (const mark of of.landmarks) L.circleMarker(at(mark.place), { radius: 3, color: ink }).bindTooltip(mark.name).addTo(map);
  const named: Named[] = [];
  for (const set of of.sets) {
    const done = stands.get(set.name)?.done ?? false;
    const marker = L.circleMarker(at(set.place), {
      radius: set.name === next ? 11 : 7, color: set.name === next ? strong : ink, weight: set.name === next ? 4 : 2,
      fill: true, fillColor: ink, fillOpacity: done ? 0.9 : 0,
    })
      .bindTooltip(set.name, { permanent: true, direction: 'right', className: 'set-name' })
      .addTo(map);
    named.push({ marker, before: set.name === next ? 0 : done ? 2 : 1, wide: 0 });
  }
  const places = [...of.sets.map((one) => one.place), ...of.parkings.map((one) => one.place)];
  const focus = of.sets.find((one) => one.name === next);
  if (focus) map.setView(at(focus.place), 15);
  else if (places.length) map.fitBounds(L.latLngBounds(places.map(at)), { padding: [20, 20] });
  named.sort((a, b) => a.before - b.before);
  const spread = (): void => showNames(map, named);
  map.on('zoomend', spread);
  spread();
  let mine: L.LayerGroup | null = null;
  return {
    showHere(here) {
      mine?.remove();
      mine = L.layerGroup([
        L.circle(at(here.place), { radius: here.accuracy, color: strong, weight: 1, fillOpacity: 0.1 }),
        L.circleMarker(at(here.place), { radius: 5, color: strong, fillColor: strong, fillOpacity: 1 }).bindTooltip(words.ground.you),
      ]).addTo(map);
    },
    remove: () => map.remove(),
  };
}

interface Named {
  marker: L.CircleMarker;
  /** The next set first, then what is to do. */
  before: number;
  /** Of the name as drawn [px]; 0 until it was. */
  wide: number;
}
const RING = 8;

/** Leaves out names that would hide another name or set; the next set's always stands. Closer in they come back. */
function showNames(map: L.Map, named: Named[]): void {
  const places = named.map(({ marker }) => map.latLngToLayerPoint(marker.getLatLng()));
  const rings = places.map((p) => L.bounds([p.x - RING, p.y - RING], [p.x + RING, p.y + RING]));
  const taken: L.Bounds[] = [];
  named.forEach((one, n) => {
    const shown = one.marker.getTooltip()?.getElement();
    if (!shown) return;
    shown.hidden = false;
    one.wide ||= shown.offsetWidth;
    const { x, y } = places[n]!;
    const box = L.bounds([x + RING, y - 13], [x + RING + 6 + one.wide, y + 13]);
    const free = one.before === 0 || ![...taken, ...rings.filter((_, other) => other !== n)].some((other) => other.overlaps(box));
    shown.hidden = !free;
    if (free) taken.push(box);
  });
}

function square([lon, lat]: Place, color: string): L.Polygon {
  const dy = 12 / 111_320;
  const dx = dy / Math.cos((lat * Math.PI) / 180);
  const corners: L.LatLngTuple[] = [[lat - dy, lon - dx], [lat - dy, lon + dx], [lat + dy, lon + dx], [lat + dy, lon - dx]];
  return L.polygon(corners, { color, weight: 2, fillColor: color, fillOpacity: 0.8 });
}
