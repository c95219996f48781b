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
  for (const set of of.sets) {
    const done = stands.get(set.name)?.done ?? false;
    L.circleMarker(at(set.place), {
      radius: set.name === next ? 11 : 7, color: set.name === next ? strong : ink, weight: set.name === next ? 4 : 2,
      fill: true, fillColor: ink, fillOpacity: done ? 0.9 : 0,
    })
      .bindTooltip(set.name, { permanent: true, direction: 'right', className: 'set-name' })
      .addTo(map);
  }
  const places = [...of.sets.map((one) => one.place), ...of.parkings.map((one) => one.place)];
  const focus = of.sets.find((one) => one.name === next);
  if (focus) map.setView(at(focus.place), 15);
  else if (places.length) map.fitBounds(L.latLngBounds(places.map(at)), { padding: [20, 20] });
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

function square([lon, lat]: Place, color: string): L.Polygon {
  const dy = 12 / 111_320;
  const dx = dy / Math.cos((lat * Math.PI) / 180);
  const corners: L.LatLngTuple[] = [[lat - dy, lon - dx], [lat - dy, lon + dx], [lat + dy, lon + dx], [lat + dy, lon - dx]];
  return L.polygon(corners, { color, weight: 2, fillColor: color, fillOpacity: 0.8 });
}
