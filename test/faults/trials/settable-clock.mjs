// Preloaded into a server under trial: SIGUSR2 sets its clock off by the milliseconds that stand in the
// file MULLION_TRIAL_CLOCK names, as a machine's clock jumps when it is set.
import { readFileSync } from 'node:fs';

const Real = Date;
let offsetMs = 0;
process.on('SIGUSR2', () => {
  offsetMs = Number(readFileSync(process.env.MULLION_TRIAL_CLOCK, 'utf8'));
});

globalThis.Date = class extends Real {
  constructor(...parts) {
    if (parts.length === 0) super(Real.now() + offsetMs);
    else super(...parts);
  }

  static now() {
    return Real.now() + offsetMs;
  }
};
