import type { enSettings } from './en-settings.ts';

/** Spanish: how this device shows things. */
export const esSettings: typeof enSettings = {
  title: 'Ajustes de este dispositivo',
  open: 'Idioma · Language',
  intro:
    'Se guardan en este navegador, para este dispositivo. Nada de aquí cambia lo que se registra: los valores se guardan en unidades SI.',
  language: 'Idioma',
  byBrowser: name => `Como prefiere el navegador: ${name}.`,
  units: 'Unidades',
  systems: {
    metric: 'mm/s, m/min, kJ/mm, °C, L/min, mm y kg',
    inch: 'in/min, kJ/in, °F, ft³/h, in y lb',
  },
  decimal: 'Signo decimal',
  signs: { point: '7.5 (punto)', comma: '7,5 (coma)' },
  decimalHint:
    'Los números se muestran y se escriben con él. Lo que puede ser uno de dos números, como 1.234 escrito con coma fijada, no se acepta. Los archivos conservan el punto.',
  zoneTitle: 'Hora',
  zone: zone => `Las horas son de la zona horaria de la obra, ${zone}.`,
  zoneUnknown: 'Todavía no se conoce la zona horaria de la obra: no hay conexión con el servidor del panel.',
  zoneDiffers: (job, device) =>
    `El reloj de este dispositivo está en ${device}. Todas las horas de aquí son las de la obra, ${job}.`,
  understood: 'Entendido',
  example: 'Cómo se ve',
  notLoaded: 'No se pudo cargar el otro idioma: no hay conexión. Intente otra vez cuando vuelva.',
};
