/**
 * How a program that enters things at a dashboard is known there: a secret that both are given by their environment,
 * a name for the log, and the rights it is given, by commas.
 */
export const PROGRAM_TOKEN_ENV = 'GIRTHLOG_PROGRAM_TOKEN';
export const PROGRAM_NAME_ENV = 'GIRTHLOG_PROGRAM_NAME';
export const PROGRAM_RIGHTS_ENV = 'GIRTHLOG_PROGRAM_RIGHTS';
