export type * from './net.js';
