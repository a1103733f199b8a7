/**
 * Words that screens take from tables instead of saying them themselves: the vocabulary's labels and
 * definitions, and what stands for a kind, a state or a role in the archive's answers.
 */
import {
  CAUTIONS,
  CONDITION_WORDS,
  DEFERRAL,
  FINDING_TERMS,
  OPERATION_GROUPS,
  OPERATIONS,
  STRUCTURAL_DEFERRAL,
  TERM_GROUPS,
} from '#libs/vocabulary';
