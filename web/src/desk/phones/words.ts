/** Visible text of the view of phones. */
export const words = {
  title: 'Phones and browsers',
  pair: 'Let a phone in',
  person: 'Whose phone',
  field: 'Code for the field page',
  desk: 'Address for another desk page',
  hint: 'Good for one phone and five minutes. Without --lan only this machine can open it.',
  until: (when: string) => `Good until ${when}.`,
  open: 'Open on the phone',
  none: 'No phone is paired.',
  columns: ['Which', 'Whose', 'Paired', 'Last seen', 'Let in'],
  revoke: (via: string) => `Let ${via} in no more`,
  revoked: (when: string) => `let in no more since ${when}`,
  ours: 'this browser',
  never: 'never',
};
