/** The archive that a configuration names, as each program of Mullion opens it. */
import { Archive, type ArchivePorts } from './archive.js';
import type { MullionConfig } from './config.js';

/**
 * @param tell takes what must not pass unseen: a new epoch that was opened, a checkpoint that could not
 * be copied
 */
export function openArchive(
  { retainCheckpointsMs }: Pick<MullionConfig, 'retainCheckpointsMs'>,
  ports: Pick<ArchivePorts, 'pool' | 'objects' | 'signer' | 'jobs'>,
  tell: (sentence: string, ...cause: unknown[]) => void,
): Promise<Archive> {
  return Archive.open({
    ...ports,
    retainCheckpointsMs,
    onSetBack: (sentence) => {
      tell(sentence);
    },
    onCopyFailed: (error) => {
      tell('a checkpoint was not copied to the object store:', error);
    },
  });
}
