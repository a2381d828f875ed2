import type { enReady } from './en-ready.ts';

/** Spanish: readiness of every rig at the start of a shift. */
export const esReady: typeof enReady = {
  title: 'Listos para el turno',
  open: 'Preparación de todos los equipos',
  allReady: n => (n === 1 ? 'El único equipo está listo.' : `Los ${n} equipos están listos.`),
  someNot: (not, all) =>
    not === 1 ? `1 equipo de ${all} no está listo.` : `${not} equipos de ${all} no están listos.`,
  notLocked:
    'No se bloquea a nadie ni se detiene ningún equipo: el que no está listo se registra igualmente, y cada pase que hace lleva lo que faltaba.',
  notAcceptance:
    'Listo significa que las comprobaciones están hechas. No es aceptación ni permiso de trabajo.',
  asOf: (when, zone) => `A fecha de ${when}, ${zone}.`,
  stale: when => `Sin conexión con el servidor del panel desde ${when}: esto es lo último conocido.`,
  loading: 'Cargando …',
  failed: detail => `No se pudo cargar la preparación: ${detail}`,
  noRigs: 'Ningún equipo ha informado todavía a este panel.',
  unknown: 'Aquí no se conoce lo que este equipo tiene y lo que le falta.',
  missingTitle: 'Falta',
  nothingMissing: 'No falta nada.',
  checksTitle: 'Comprobaciones',
  columns: { check: 'comprobación', state: 'estado', last: 'última vez', until: 'válida hasta' },
  noInterval: 'sin plazo fijado',
  carriage: 'Carro',
  carriageNone: 'no indicado',
  carriageChange: 'Nombrar el carro',
  carriageName: 'Carro',
  carriageHint: 'Letras, cifras y guiones. Las antorchas de un carro comparten su nombre.',
  carriageWrong: 'Use letras de la a a la z, cifras y guiones.',
  carriageWho: 'Quién lo dice',
  carriageWhoWrong: 'Elija o escriba quién lo dice.',
  carriageSave: 'Guardar el carro',
  clock: 'Reloj',
  clockNone: 'no llega nada de este equipo',
  clockOffset: ms => `${ms} ms respecto al panel`,
  corrections: 'Correcciones en vigor',
  work: 'Trabajo',
  checkRig: rig => `Comprobaciones de ${rig}`,
  print: 'Imprimir esta página',
  printed: when => `Impreso ${when}.`,
  signature: 'Nombre, firma, hora',
};
