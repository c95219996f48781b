/** Visible text of the parts that several views share. */
export const words = {
  place: {
    lat: 'Latitude',
    lon: 'Longitude',
    accuracy: 'Accuracy, m',
    locate: 'Where this machine is now',
    asking: 'Asking the browser.',
    found: (metres: number) => `The browser says so, to ${metres} m. A machine without a receiver may be far off: check it on a map.`,
    denied: 'The browser was told not to say where it is. Type it.',
    none: 'The browser does not know where it is. Type it.',
    hint: 'Degrees. West is negative: 41.5132 and -78.0123. It stays on this machine.',
  },
};
