/**
 * Places of entries in a history of several epochs, and their names for people. Apart from what an
 * epoch says, since every screen names entries and few read epochs.
 */
import { parseOrigin } from './origin.js';

/** No log grows that far, and 8191 epochs of it stay whole numbers below 2^53. */
export const EPOCH_STEP = 2 ** 40;

/**
 * Place of an entry in the history of a site (or of the studio) over all its epochs: one number that
 * only grows, so that a version somebody holds from before a restore never names another one after it.
 * In the first epoch it is the number of the entry.
 */
export function placeInHistory(epoch: number, seq: number): number {
  return (epoch - 1) * EPOCH_STEP + seq;
}

/** @returns the epoch, from 1, and the number of the entry in its log */
export function readPlace(place: number): { epoch: number; seq: number } {
  return { epoch: Math.floor(place / EPOCH_STEP) + 1, seq: place % EPOCH_STEP };
}

/** Id of the log of an epoch. @param line a siteId, or `studio`: the id of its first log */
export function epochLogId(line: string, epoch: number): string {
  return epoch === 1 ? line : `${line}.${epoch}`;
}

/** The log and the number in it of the entry at a place. @param line as `epochLogId` takes it */
export function entryAtPlace(line: string, place: number): { logId: string; seq: number } {
  const { epoch, seq } = readPlace(place);
  return { logId: epochLogId(line, epoch), seq };
}

/** @returns the line, and the epoch from 1, that `epochLogId` put into an id */
export function readLogId(logId: string): { line: string; epoch: number } {
  const found = /^([^.]+)\.([1-9]\d{0,3})$/.exec(logId);
  const epoch = Number(found?.[2] ?? 1);
  return epoch === 1 ? { line: logId, epoch } : { line: found![1]!, epoch };
}

/**
 * An entry as people cite it: `entry 7`, after a restore that opened the second epoch `entry 7 of epoch 2`.
 * Without an epoch the first is meant, so that what was cited before a restore still names the same.
 * @param place in the history of a site or of the studio, see `placeInHistory`
 */
export function entryName(place: number): string {
  const { epoch, seq } = readPlace(place);
  return `entry ${seq}${epoch === 1 ? '' : ` of epoch ${epoch}`}`;
}

/** As `entryName`, of an entry by its number in the log with this id. */
export function entryNameInLog(logId: string, seq: number): string {
  return entryName(placeInHistory(readLogId(logId).epoch, seq));
}

/** The place of an entry by its number in the log with this origin line. */
export function placeIn(origin: string, seq: number): number {
  return placeInHistory(parseOrigin(origin)?.epoch ?? 1, seq);
}

/** As `entryName`, of an entry by its number in the log with this origin line. */
export function entryNameIn(origin: string, seq: number): string {
  return entryName(placeIn(origin, seq));
}
