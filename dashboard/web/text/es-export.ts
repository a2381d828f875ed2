import type { enExport } from './en-export.ts';
import { plural } from './es-words.ts';

/** Spanish: taking records out of the system, one joint or a day. */
export const esExport: typeof enExport = {
  title: 'Exportar',
  note: zone =>
    `Informe, tablas, datos, muestras y el registro firmado tal como están ahora. Las horas son UTC${zone === 'UTC' ? '' : `, y al lado ${zone}`}.`,
  paper: 'Papel del informe',
  papers: { a4: 'A4', letter: 'Carta', both: 'ambos' },
  archive: 'Todo lo de esta junta, un archivo (ZIP)',
  report: 'Informe (PDF)',
  tablesTitle: 'Tablas (CSV) y datos',
  passes: 'Pases',
  windows: 'Ventanas de 25 mm',
  deviations: 'Desviaciones y cambios',
  events: 'Eventos',
  json: 'Datos (JSON)',

  dayTitle: 'Exportar un día',
  day: 'Día',
  dayHint: zone => `Todas las juntas con un pase que empezó ese día, según el reloj de ${zone}.`,
  dayMissing: 'Elija un día.',
  begin: 'Crear el archivo',
  cancel: 'Cancelarlo',
  fetch: file => `Guardar ${file}`,
  running: (what, done, total) => `${what}: ${done} de ${plural(total, { one: 'junta', other: 'juntas' })}.`,
  ofDay: date => `Juntas de ${date}`,
  ofJoints: 'Juntas elegidas',
  done: (what, megabytes, until) => `${what}: listo, ${megabytes} MB, se guarda hasta ${until}.`,
  state: {
    cancelled: what => `${what}: cancelado, no se guarda nada.`,
    failed: (what, problem) => `${what}: no se creó. ${problem}`,
  },
  notReached: 'No se puede alcanzar el servidor del panel.',
};
