/** Light and shade, lines of equal height and their heights, under a map. */
import * as L from 'leaflet';
import type { Place, Relief } from '../wire/round';

const at = ([lon, lat]: Place): L.LatLngTuple => [lat, lon];

/** Below this zoom heights would hide each other. */
const LABELS_FROM = 14;

/** Light and shade, lines of equal height and their heights, in panes below everything else. Nothing of it is to be tapped. The group is not on the map yet. */
export function drawRelief(map: L.Map, relief: Relief, style: CSSStyleDeclaration, alt: string): L.LayerGroup {
  const pane = (name: string, z: number): string => {
    const made = map.getPane(name) ?? map.createPane(name);
    made.style.zIndex = String(z);
    made.style.pointerEvents = 'none';
    return name;
  };
  const all = L.layerGroup();
  const color = style.getPropertyValue('--height').trim() || '#555';
  const corners = L.latLngBounds([relief.south, relief.west], [relief.north, relief.east]);
  L.imageOverlay(relief.picture, corners, { pane: pane('shade', 210), interactive: false, className: 'shade', alt }).addTo(all);
  const renderer = L.canvas({ pane: pane('heights', 220), padding: 0.3 });
  for (const line of relief.lines) {
    L.polyline(line.places.map(at), { renderer, interactive: false, color, weight: line.main ? 1.6 : 0.7, opacity: 0.85, smoothFactor: 1 }).addTo(all);
  }
  const over = pane('written', 230);
  const written = L.layerGroup(relief.labels.map((label) => height(label, over)));
  const show = (): void => void (map.hasLayer(all) && map.getZoom() >= LABELS_FROM ? written.addTo(map) : written.remove());
  map.on('zoomend', show);
  all.on('add', show).on('remove', () => written.remove());
  return all;
}

function height(label: Relief['labels'][number], pane: string): L.Marker {
  const text = document.createElement('span');
  text.textContent = label.text;
  text.style.transform = `translate(-50%, -50%) rotate(${-label.turn_deg}deg)`;
  const icon = L.divIcon({ className: 'height', html: text, iconSize: [0, 0] });
  return L.marker(at(label.place), { icon, pane, interactive: false, keyboard: false });
}
