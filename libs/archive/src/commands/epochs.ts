/** Written by `epochs/` when a log turns out to be behind a checkpoint: the rows it shows stay as they are. */
import { LOG_EPOCH } from '#libs/ledger';

export const epochOpened = {
  type: LOG_EPOCH,
  project: () => Promise.resolve(),
};
