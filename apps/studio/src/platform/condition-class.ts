/** Condition classes as a person chooses among them, and their words. */
import { CONDITION_WORDS, type ConditionClass } from '#libs/vocabulary';
import { sayWord } from './language/say.js';

export const CLASSES = ['0', '1', '2', '3', 'not-inspected', 'not-accessible'] as const;
export type ClassText = (typeof CLASSES)[number];

/** Whether somebody looked. */
export const isSeen = (text: ClassText | null) => text !== null && /^\d$/.test(text);

export const classOf = (text: ClassText): ConditionClass =>
  isSeen(text) ? (Number(text) as 0) : (text as 'not-inspected');

/** 'not inspected', '2 fair' */
export const sayClass = (text: ClassText): string =>
  `${isSeen(text) ? `${text} ` : ''}${sayWord(CONDITION_WORDS[classOf(text)].label)}`;
