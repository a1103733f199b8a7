/** Queues of the worker and how often a job is tried again. */
export const QUEUES = {
  'media.derive': { retryLimit: 3, retryDelay: 5, retryBackoff: true, expireInSeconds: 900 },
  'rubbing.extract': { retryLimit: 1, retryDelay: 5, expireInSeconds: 900 },
  'dossier.write': { retryLimit: 2, retryDelay: 10, retryBackoff: true, expireInSeconds: 3600 },
} as const;

export type QueueName = keyof typeof QUEUES;

interface QueueMaker {
  createQueue(name: string, options: (typeof QUEUES)[QueueName]): Promise<void>;
}

/** Makes the queues that are not there yet; server and worker both call it at start. */
export async function ensureQueues(boss: QueueMaker): Promise<void> {
  for (const [name, options] of Object.entries(QUEUES)) await boss.createQueue(name, options);
}
