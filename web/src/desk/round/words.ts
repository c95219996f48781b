/** Visible text of the view of the round. */
export const words = {
  title: 'Round',
  ask: { start: 'Leave after', back: 'Back by', on: 'Day', who: 'Who', must: 'Must', skip: 'Leave out', seconds: 'Seconds to search', everything: 'every working set', plan: 'Plan', hint: '05:00; a day as 2027-01-16; sets with spaces between' },
  own: 'The round that phones take along',
  order: 'Order', times: 'Times',
  columns: ['', 'Set', 'Found by', 'Walk', 'Look', 'Limit', 'Left', 'Bring'],
  stop: (name: string, arrive: string, depart: string) => `${name}: there ${arrive}, away ${depart}`,
  late: 'LATE', dark: 'in the dark', notVerified: 'not verified',
  drive: (text: string, estimated: boolean) => `${text}${estimated ? ', estimated' : ''}`,
  card: 'Print the route card',
  cautions: 'Cautions', notes: 'To know', leftOut: 'Left out',
};
