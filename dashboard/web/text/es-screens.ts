import type { enScreens } from './en-screens.ts';

/** Spanish: moving between screens. */
export const esScreens: typeof enScreens = {
  label: 'Pantallas',
  live: 'En vivo',
  alarms: 'Alarmas',
  ready: 'Preparación',
  joints: 'Juntas',
  changes: 'Cambios',
  shift: 'Turno',
  procedures: 'Procedimientos',
  sums: 'Cálculos',
  training: 'Formación',
  newer: 'El panel tiene una versión más nueva de esta página.',
  loadNewer: 'Cargarla ahora',
};
