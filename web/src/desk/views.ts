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
  { name: 'start', load: async () => (await import('./start/Start')).Start, hidden: true },
  { name: 'round', load: async () => (await import('./round/RoundView')).RoundView },
  { name: 'ground', load: async () => (await import('./ground/Ground')).Ground },
  { name: 'weeks', load: async () => (await import('./weeks/Weeks')).Weeks },
  { name: 'loop', load: async () => (await import('./loop/Drawing')).Drawing },
  { name: 'gear', load: async () => (await import('./gear/Gear')).Gear },
  { name: 'season', load: async () => (await import('./season/Season')).Season },
  { name: 'record', load: async () => (await import('./record/Record')).Record },
  { name: 'papers', load: async () => (await import('./papers/Papers')).Papers },
  { name: 'import', load: async () => (await import('./import/Import')).Import },
  { name: 'settings', load: async () => (await import('./settings/Settings')).Settings },
  { name: 'phones', load: async () => (await import('./phones/Phones')).Phones },
];
