import type { enTrendAt } from './en-trend-at.ts';
import type { enTrends } from './en-trends.ts';
import { atHour } from './es-words.ts';

/** Spanish: the trends of one side. */
export const esTrends: typeof enTrends = {
  title: (side, rig) => `Tendencias: ${side}, ${rig}`,
  span: 'Mostrar los últimos',
  seconds: n => `${n} s`,
  others: 'Los otros lados',
  unknownRig: rig => `Ningún equipo llamado ${rig} ha informado a este panel.`,
  openHint: ': abrir las tendencias',
  loading: 'Cargando lo guardado …',
  storeFailed: detail =>
    `No se pudo cargar el historial guardado: ${detail} Se muestran los valores vistos en esta página.`,
  source:
    'Muestras guardadas, menor y mayor por punto; los segundos más recientes son medias de 1 s. Rayado: sin datos.',
  noChannel: quantity => `Este equipo no informa de ${quantity}.`,
  energySoFar: 'energía de arco del pase hasta ahora',
  chart: (quantity, span) => `${quantity}, últimos ${span} s.`,
  chartSummary: (now, min, max, unit) =>
    `Ahora ${now} ${unit}; entre ${min} y ${max} ${unit} en este tiempo.`,
  offScale: (least, greatest) => `fuera de escala: de ${least} a ${greatest}`,
  chartNothing: 'Nada registrado en este tiempo.',
  chartLimits: limits => `${limits}.`,
  table: 'Valores en este tiempo',
  columnQuantity: 'magnitud',
  columnNow: 'ahora',
  columnMin: 'menor',
  columnMax: 'mayor',
  columnLimits: 'límites',
  every10: 'Lecturas cada 10 s',
  columnTime: 'hora',
  columnClock: 'posición horaria',
  clockAxis: clock => atHour(clock),
  flagsTitle: 'Fuera de rango en esta junta',
  flagsNone: 'Nada registrado en esta junta.',
  flag: (pass, side, from, to, quantity, length) =>
    `${pass}, lado ${side}, de ${atHour(from)} a ${atHour(to)}: ${quantity}, ${length}`,
  facts: 'Este equipo',
  tapPoint: where => `Tensión tomada en: ${where}`,
  reference: length => `El avance se informa a un radio de ${length}.`,
  referenceNone: 'No hay radio de referencia: el avance informado se toma como avance en la soldadura.',
};

/** Spanish: the trends around one moment. */
export const esTrendAt: typeof enTrendAt = {
  title: (side, rig, time) =>
    side === null ? `Alrededor de ${time}: ${rig}` : `Alrededor de ${time}: ${side}, ${rig}`,
  live: 'Tendencias en vivo de este lado',
  earlier: 'Antes',
  later: 'Después',
  mark: 'alarma',
  loading: 'Cargando lo guardado …',
  coming: 'Los segundos más recientes todavía se están guardando.',
  nothing: 'No hay nada guardado de este tiempo.',
  failed: detail => `Lo guardado no se pudo cargar: ${detail}`,
  source: 'Muestras guardadas, menor y mayor por punto. Rayado: sin datos.',
  limitsOf: (pass, joint) => `Límites de ${pass}, junta ${joint}.`,
  limitsNone: 'No hay registrado en este tiempo ningún pase de un procedimiento: no se dibujan límites.',
};
