/** Every set on one canvas: its loop clock, name and time left, its reach and how well it was measured. */
import * as L from 'leaflet';
import { stretch } from '../../units';
import { words as shared } from '../../words';
import { clockNow, type SetTold } from './told';

/** As parts/LoopClock: the gap at two o'clock, the arc of what is left ending where it begins. */
const GAP_AT = 60;
const GAP = 44;
const FULL = 360 - GAP;
const turn = (degrees: number): number => ((GAP_AT + GAP / 2 + degrees - 90) * Math.PI) / 180;
/** The canvas reaches so much of the view beyond each edge, so that a drag shows sets that were outside. */
const BEYOND = 0.4;
const TAP = 16;

export interface Shown {
  sets: SetTold[];
  chosen: string;
  now: number;
  accuracy: boolean;
  reach: boolean;
}
interface Box {
  x: number;
  y: number;
  w: number;
  h: number;
}

export class Rings extends L.Layer {
  private canvas = document.createElement('canvas');
  private shown: Shown = { sets: [], chosen: '', now: 0, accuracy: true, reach: true };

  override onAdd(map: L.Map): this {
    const pane = map.getPane('sets') ?? map.createPane('sets');
    pane.style.zIndex = '450';
    pane.style.pointerEvents = 'none';
    this.canvas.setAttribute('aria-hidden', 'true');
    pane.append(this.canvas);
    map.on('moveend viewreset resize', this.draw, this);
    this.draw();
    return this;
  }

  override onRemove(map: L.Map): this {
    map.off('moveend viewreset resize', this.draw, this);
    this.canvas.remove();
    return this;
  }

  show(shown: Shown): void {
    this.shown = shown;
    this.draw();
  }

  /** The set nearest to a tap, if one is near. */
  near(point: L.Point): string | null {
    const away = this.shown.sets.map((one) => [this._map.latLngToContainerPoint([one.place[1], one.place[0]]).distanceTo(point), one.set] as const);
    const nearest = away.reduce((a, b) => (b[0] < a[0] ? b : a), [TAP, ''] as readonly [number, string]);
    return nearest[1] || null;
  }

  draw(): void {
    const map = this._map;
    if (!map) return;
    const size = map.getSize();
    const ahead = size.multiplyBy(BEYOND).round();
    const corner = map.containerPointToLayerPoint(L.point(0, 0).subtract(ahead));
    const whole = size.add(ahead.multiplyBy(2));
    const dense = Math.min(2, devicePixelRatio || 1);
    this.canvas.width = whole.x * dense;
    this.canvas.height = whole.y * dense;
    this.canvas.style.width = `${whole.x}px`;
    this.canvas.style.height = `${whole.y}px`;
    L.DomUtil.setPosition(this.canvas, corner);
    const pen = this.canvas.getContext('2d')!;
    pen.scale(dense, dense);
    const at = (one: SetTold): L.Point => map.latLngToLayerPoint([one.place[1], one.place[0]]).subtract(corner);
    const seen = this.shown.sets.map((one) => ({ one, at: at(one) })).filter(({ at: { x, y } }) => x > -60 && y > -60 && x < whole.x + 60 && y < whole.y + 60);
    paint(pen, seen, this.shown, { zoom: map.getZoom(), perPixel: metresPerPixel(map) });
  }
}

/** Metres to a pixel in the middle of the view, on the plane of web maps (EPSG:3857, sphere of 6 378 137 m). */
function metresPerPixel(map: L.Map): number {
  return (2 * Math.PI * 6_378_137 * Math.cos((map.getCenter().lat * Math.PI) / 180)) / (256 * 2 ** map.getZoom());
}

type Seen = { one: SetTold; at: L.Point };

function paint(pen: CanvasRenderingContext2D, seen: Seen[], shown: Shown, scale: { zoom: number; perPixel: number }): void {
  const style = getComputedStyle(document.documentElement);
  const color = (name: string): string => style.getPropertyValue(name).trim() || '#000';
  const [ink, back, strong] = [color('--ink'), color('--card'), color('--strong')];
  const radius = scale.zoom >= 15 ? 11 : scale.zoom < 13 || seen.length > 150 ? 5 : 8;
  for (const { one, at } of seen) {
    if (shown.reach && one.reach) circle(pen, at, one.reach.high_m / scale.perPixel, radius, ink, []);
    if (shown.accuracy) circle(pen, at, one.taken_m / scale.perPixel, radius, strong, one.accuracy_m === null ? [2, 4] : [6, 3]);
  }
  for (const { one, at } of seen) ring(pen, at, radius, one, shown, ink, back);
  const taken: Box[] = seen.map(({ at }) => ({ x: at.x - radius, y: at.y - radius, w: 2 * radius, h: 2 * radius }));
  const grid = new Occupied(taken);
  const order = [...seen].sort((a, b) => rank(a.one, shown) - rank(b.one, shown));
  for (const { one, at } of order) label(pen, at, radius, one, shown, grid, { ink, back, strong, far: scale.zoom < 14 });
}

const rank = (one: SetTold, shown: Shown): number => (one.set === shown.chosen ? -1 : one.clock.due_at === null ? 0 : Date.parse(one.clock.due_at));

/** A circle on the ground; left out where the sign of the set covers it. */
function circle(pen: CanvasRenderingContext2D, at: L.Point, radius: number, least: number, color: string, dash: number[]): void {
  if (radius <= least) return;
  pen.beginPath();
  pen.setLineDash(dash);
  pen.lineWidth = 1.2;
  pen.strokeStyle = color;
  pen.arc(at.x, at.y, radius, 0, 2 * Math.PI);
  pen.stroke();
  pen.setLineDash([]);
}

function ring(pen: CanvasRenderingContext2D, at: L.Point, radius: number, one: SetTold, shown: Shown, ink: string, back: string): void {
  const { share, reading } = clockNow(one, shown.now);
  const arc = (first: number, last: number, width: number, dash: number[] = []): void => {
    pen.beginPath();
    pen.setLineDash(dash);
    pen.lineWidth = width;
    pen.arc(at.x, at.y, radius, turn(first), turn(last));
    pen.stroke();
    pen.setLineDash([]);
  };
  const bar = (degrees: number, half: number): void => {
    const [dx, dy] = [half * Math.sin((degrees * Math.PI) / 180), -half * Math.cos((degrees * Math.PI) / 180)];
    pen.beginPath();
    pen.lineWidth = 3;
    pen.moveTo(at.x - dx, at.y - dy);
    pen.lineTo(at.x + dx, at.y + dy);
    pen.stroke();
  };
  pen.beginPath();
  pen.fillStyle = back;
  pen.globalAlpha = 0.8;
  pen.arc(at.x, at.y, radius + 2, 0, 2 * Math.PI);
  pen.fill();
  pen.globalAlpha = 1;
  pen.strokeStyle = ink;
  arc(0, FULL, one.set === shown.chosen ? 2 : 1, share === null && reading === 'not-verified' ? [2.6, 2.2] : []);
  if (share !== null && share > 0.002) arc(FULL * (1 - share), FULL, radius * 0.42);
  if (reading === 'late') bar(150, radius * 0.8);
  if (reading === 'no-clock') bar(90, radius * 0.45);
}

function label(
  pen: CanvasRenderingContext2D, at: L.Point, radius: number, one: SetTold, shown: Shown, grid: Occupied,
  look: { ink: string; back: string; strong: string; far: boolean },
): void {
  const chosen = one.set === shown.chosen;
  const { reading, minutes } = clockNow(one, shown.now);
  const left = minutes === null ? shared.clock[reading] : `${reading === 'late' ? `${shared.clock.late} ` : ''}${stretch(minutes)}`;
  const text = look.far && !chosen ? one.set : `${one.set} ${left}`;
  pen.font = `${chosen ? 700 : 600} 12px system-ui, sans-serif`;
  const [w, h] = [pen.measureText(text).width + 4, 15];
  const gap = radius + 4;
  const tries: Box[] = [
    { x: at.x + gap, y: at.y - h / 2, w, h }, { x: at.x - gap - w, y: at.y - h / 2, w, h },
    { x: at.x - w / 2, y: at.y - gap - h, w, h }, { x: at.x - w / 2, y: at.y + gap, w, h },
  ];
  const free = tries.find((box) => grid.free(box)) ?? (chosen ? tries[0] : undefined);
  if (!free) return;
  grid.take(free);
  pen.textBaseline = 'middle';
  pen.lineWidth = 3;
  pen.lineJoin = 'round';
  pen.strokeStyle = look.back;
  pen.strokeText(text, free.x + 2, free.y + h / 2);
  pen.fillStyle = chosen ? look.strong : look.ink;
  pen.fillText(text, free.x + 2, free.y + h / 2);
}

/** Boxes that are taken, looked up by cells of 64 pixels. */
class Occupied {
  private cells = new Map<string, Box[]>();

  constructor(taken: Box[]) {
    for (const box of taken) this.take(box);
  }

  take(box: Box): void {
    for (const key of this.keys(box)) this.cells.set(key, [...(this.cells.get(key) ?? []), box]);
  }

  free(box: Box): boolean {
    return this.keys(box).every((key) => !this.cells.get(key)?.some((b) => b.x < box.x + box.w && box.x < b.x + b.w && b.y < box.y + box.h && box.y < b.y + b.h));
  }

  private keys({ x, y, w, h }: Box): string[] {
    const found: string[] = [];
    for (let col = Math.floor(x / 64); col <= Math.floor((x + w) / 64); col++) {
      for (let row = Math.floor(y / 64); row <= Math.floor((y + h) / 64); row++) found.push(`${col},${row}`);
    }
    return found;
  }
}
