/** The map of the desk: layers that can be shown or not, a set that is chosen, places that are picked. */
import * as L from 'leaflet';
import 'leaflet/dist/leaflet.css';
import { drawRelief } from '../../map/relief';
import type { Relief } from '../../wire/round';
import { present } from '../state';
import { Rings } from './rings';
import { written, type Area, type GroundTold, type Layer, type Pick, type Place, type SetTold, type Shape } from './told';
import { words } from './words';

export const LAYERS = ['shade', 'parcels', 'setbacks', 'features', 'barriers', 'walks', 'reach', 'accuracy', 'parkings', 'signs', 'scouted', 'foot'] as const;
export type LayerName = (typeof LAYERS)[number];
export interface Heard {
  choose: (set: string) => void;
  pick: (place: Place) => void;
}
const at = ([lon, lat]: Place): L.LatLngTuple => [lat, lon];
const rings = (area: Area): L.LatLngTuple[][][] => area.map((polygon) => polygon.map((ring) => ring.map(at)));

export class GroundMap {
  readonly map: L.Map;
  private groups = new Map<LayerName, L.LayerGroup>();
  private on = new Set<LayerName>();
  private sets = new Rings();
  private draft = L.layerGroup();
  private told: GroundTold | null = null;
  private chosen = '';
  private picking: Pick = 'none';
  private relief: Relief | null = null;
  private walks: Place[][] = [];
  private scouted: Layer[] = [];
  private bands: Layer | null = null;
  private readonly lightChanged = (): void => this.repaint();
  private readonly watched = new MutationObserver(this.lightChanged);
  private readonly dark = matchMedia('(prefers-color-scheme: dark)');

  constructor(box: HTMLElement, heard: Heard) {
    this.map = L.map(box, {
      preferCanvas: true, attributionControl: false, zoomAnimation: false, fadeAnimation: false, markerZoomAnimation: false,
      renderer: L.canvas({ padding: 0.4 }), maxZoom: 20, minZoom: 8, zoomSnap: 0.5,
    });
    L.control.scale({ imperial: true, metric: true, position: 'bottomright' }).addTo(this.map);
    this.map.setView([0, 0], 12);
    this.sets.addTo(this.map);
    this.draft.addTo(this.map);
    this.map.on('click', (event) => {
      if (this.picking !== 'none') heard.pick([event.latlng.lng, event.latlng.lat]);
      else {
        const found = this.sets.near(event.containerPoint);
        if (found) heard.choose(found);
      }
    });
    this.watched.observe(document.documentElement, { attributes: true, attributeFilter: ['data-theme'] });
    this.dark.addEventListener('change', this.lightChanged);
    box.addEventListener('keydown', (event) => {
      if (event.key !== 'Enter' || event.target !== box || this.picking === 'none') return;
      event.preventDefault();
      const middle = this.map.getCenter();
      heard.pick([middle.lng, middle.lat]);
    });
  }

  /** Draws everything anew; the first time, all of it in view. */
  show(told: GroundTold): void {
    const first = this.told === null;
    this.told = told;
    this.drawAll();
    if (first) this.fit();
  }

  fit(): void {
    const places = [...(this.told?.sets ?? []), ...(this.told?.parkings ?? []), ...(this.told?.landmarks ?? [])].map((one) => one.place);
    const corners = (this.told?.parcels ?? []).flatMap((one) => one.area.flat(2));
    const all = [...places, ...corners, ...(this.told?.home ? [this.told.home] : [])];
    if (all.length) this.map.fitBounds(L.latLngBounds(all.map(at)), { padding: [24, 24], maxZoom: 16 });
  }

  showRelief(relief: Relief | null): void {
    if (relief === this.relief) return;
    this.relief = relief;
    this.drawRelief();
  }

  private drawRelief(): void {
    const relief = this.relief;
    this.put('shade', relief ? [drawRelief(this.map, relief, getComputedStyle(document.documentElement), words.layers.shade)] : []);
  }

  showWalks(walks: Place[][]): void {
    this.walks = walks;
    const color = ink();
    this.put('walks', walks.map((walk) => L.polyline(walk.map(at), { color, weight: 2, opacity: 0.85, interactive: false })));
  }

  showScouted(layers: Layer[]): void {
    this.scouted = layers;
    this.put('scouted', layers.flatMap((layer) => layer.features.map((one) => scouted(one))));
  }

  showFoot(bands: Layer | null): void {
    this.bands = bands;
    const color = ink();
    const drawn = (bands?.features ?? []).map((one, place, all) =>
      L.polygon(rings(one.geometry.coordinates as Area), { color, weight: 1.5, fillColor: color, fillOpacity: 0.28 * (1 - place / all.length) })
        .bindTooltip(words.foot.band(Number(one.properties.from_min), Number(one.properties.to_min)), { sticky: true }));
    this.put('foot', drawn);
  }

  setLayer(name: LayerName, on: boolean): void {
    if (on === this.on.has(name)) return;
    if (on) this.on.add(name);
    else this.on.delete(name);
    const group = this.groups.get(name);
    if (group) {
      if (on) group.addTo(this.map);
      else group.remove();
    }
    this.drawSets();
  }

  choose(set: string, look = false): void {
    this.chosen = set;
    const found = this.told?.sets.find((one) => one.set === set);
    if (found && look) this.look(found.place);
    this.drawSets();
  }

  look(place: Place, zoom = 16): void {
    this.map.setView(at(place), Math.max(zoom, this.map.getZoom()), { animate: false });
  }

  pick(kind: Pick): void {
    this.picking = kind;
    this.map.getContainer().classList.toggle('picking', kind !== 'none');
  }

  /** Shows what is being written down, before it is kept. */
  showDraft(places: Place[], shape: 'point' | 'line' | 'area'): void {
    this.draft.clearLayers();
    const color = ink('--strong');
    const corners = places.map(at);
    if (shape === 'area' && corners.length > 2) L.polygon(corners, { color, weight: 3, fillOpacity: 0.1, interactive: false }).addTo(this.draft);
    else if (shape !== 'point' && corners.length > 1) L.polyline(corners, { color, weight: 3, interactive: false }).addTo(this.draft);
    for (const corner of corners) L.circleMarker(corner, { radius: 5, color, weight: 3, fill: false, interactive: false }).addTo(this.draft);
  }

  drawAll(): void {
    const told = this.told;
    if (!told) return;
    const [black, strong, faint] = [ink(), ink('--strong'), ink('--faint')];
    this.put('parcels', told.parcels.flatMap((one) => {
      const style = one.leave.stands ? { dashArray: '10 5', weight: 2, color: black } : { dashArray: '2 6', weight: 4, color: strong };
      const drawn = L.polygon(rings(one.area), { ...style, fill: false, interactive: false });
      const bounds = drawn.getBounds();
      const name = L.tooltip({ permanent: true, direction: 'top', className: 'parcel-name', offset: [0, 4] })
        .setLatLng([bounds.getNorth(), bounds.getCenter().lng])
        .setContent(text(one.leave.stands ? one.parcel : `${one.parcel} ✗ ${one.leave.words}`));
      return [drawn, name];
    }));
    this.put('setbacks', told.setbacks.map((one) =>
      L.polygon(rings(one.area), { color: strong, weight: 1, dashArray: '1 5', fillColor: strong, fillOpacity: 0.08 }).bindTooltip(text(words.setback(one.law, one.feature, one.words)), { sticky: true })));
    this.put('features', told.features.map((one) => feature(one.shape, black, `${words.classes(one.feature)} ${one.name}`)));
    this.put('barriers', told.barriers.flatMap((one) => [
      ...one.lines.map((line) => L.polyline(line.map(at), { color: faint, weight: 5, dashArray: '1 7' }).bindTooltip(text(words.barrier(one.name)), { sticky: true })),
      ...(one.area.length ? [L.polygon(rings(one.area), { color: faint, weight: 4, dashArray: '1 7', fillOpacity: 0.05 }).bindTooltip(text(words.barrier(one.name)), { sticky: true })] : []),
    ]));
    this.put('parkings', [
      ...told.parkings.map((one) => square(one.place, black, true).bindTooltip(text(`${words.parking} ${one.parking}`))),
      ...told.landmarks.map((one) => L.circleMarker(at(one.place), { radius: 3, color: black }).bindTooltip(text(one.landmark))),
      ...(told.home ? [square(told.home, black, false).bindTooltip(words.home)] : []),
    ]);
    this.put('signs', told.signs.map((one) =>
      L.circleMarker(at(one.place), { radius: 5, color: black, weight: 2, dashArray: '2 2', fill: true, fillOpacity: 0 }).bindTooltip(text(`${words.sign} ${one.species} ${one.at.slice(0, 10)}`))));
    this.drawSets();
  }

  drawSets(): void {
    const sets: SetTold[] = this.told?.sets ?? [];
    this.sets.show({ sets, chosen: this.chosen, now: present(), accuracy: this.on.has('accuracy'), reach: this.on.has('reach') });
  }

  /** Draws everything with the inks of the light that is on now. */
  private repaint(): void {
    this.drawRelief();
    this.showFoot(this.bands);
    this.showScouted(this.scouted);
    this.drawAll();
    this.showWalks(this.walks);
  }

  remove(): void {
    this.watched.disconnect();
    this.dark.removeEventListener('change', this.lightChanged);
    this.map.remove();
  }

  private put(name: LayerName, layers: L.Layer[]): void {
    this.groups.get(name)?.remove();
    const group = L.layerGroup(layers);
    this.groups.set(name, group);
    if (this.on.has(name)) group.addTo(this.map);
  }
}

const ink = (name = '--ink'): string => getComputedStyle(document.documentElement).getPropertyValue(name).trim() || '#000';

/** Text of somebody's own, never read as a page. */
function text(content: string): HTMLElement {
  const made = document.createElement('span');
  made.textContent = content;
  return made;
}

function feature(shape: Shape, color: string, title: string): L.Layer {
  if (shape.type === 'Point') return L.circleMarker(at(shape.coordinates), { radius: 4, color, weight: 2, fillColor: color, fillOpacity: 0.4 }).bindTooltip(text(title));
  if (shape.type === 'LineString') return L.polyline(shape.coordinates.map(at), { color, weight: 2.5, dashArray: '8 3 2 3' }).bindTooltip(text(title), { sticky: true });
  return L.polygon(rings(shape.coordinates), { color, weight: 1.5, fillOpacity: 0.12 }).bindTooltip(text(title), { sticky: true });
}

function scouted(one: Layer['features'][number]): L.Layer {
  const color = ink('--strong');
  const told = one.properties;
  const { type } = one.geometry;
  if (type === 'MultiPolygon') {
    const share = Number(told.top_share);
    return L.polygon(rings(one.geometry.coordinates as Area), { stroke: false, fillColor: color, fillOpacity: share <= 0.01 ? 0.45 : share <= 0.05 ? 0.25 : 0.12, interactive: false });
  }
  if (type === 'LineString') return L.polyline((one.geometry.coordinates as Place[]).map(at), { color, weight: 3, dashArray: '12 4' }).bindTooltip(text(words.corridor(String(told.start), String(told.end))), { sticky: true });
  return L.circleMarker(at(one.geometry.coordinates as Place), { radius: 6, color, weight: 3, fill: true, fillOpacity: 0 })
    .bindTooltip(text(`${told.name}: ${told.animal}; ${told.why}; ${told.leave}; ${told.law}`), { className: 'wide-tip' });
}

function square([lon, lat]: Place, color: string, full: boolean): L.Polygon {
  const dy = 12 / 111_320;
  const dx = dy / Math.cos((lat * Math.PI) / 180);
  const corners: L.LatLngTuple[] = [[lat - dy, lon - dx], [lat - dy, lon + dx], [lat + dy, lon + dx], [lat + dy, lon - dx]];
  return L.polygon(corners, { color, weight: 3, fillColor: color, fillOpacity: full ? 0.8 : 0 });
}

/** Places as the machine reads them. */
export const texts = (places: Place[]): string[] => places.map(written);
