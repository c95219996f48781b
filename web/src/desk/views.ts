/** The list of views: each is loaded when it is first looked at. */
import type { ComponentType } from 'preact';

export interface ViewOf {
  name: string;
  load: () => Promise<ComponentType<{ target: string }>>;
  /** Not in the list of views. */
  hidden?: boolean;
}

export const VIEWS: ViewOf[] = [
  { name: 'tonight', load: async () => (await import('./tonight/Tonight')).Tonight },
  { name: 'round', load: async () => (await import('./round/RoundView')).RoundView },
  { name: 'weeks', load: async () => (await import('./weeks/Weeks')).Weeks },
  { name: 'start', load: async () => (await import('./start/Start')).Start, hidden: true },
  { name: 'record', load: async () => (await import('./record/Record')).Record },
  { name: 'loop', load: async () => (await import('./loop/Drawing')).Drawing },
  { name: 'phones', load: async () => (await import('./phones/Phones')).Phones },
];
