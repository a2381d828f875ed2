import type { enTruck } from './en-truck.ts';

/** Spanish: the truck itself. */
export const esTruck: typeof enTruck = {
  label: 'En el camión',
  priority: { high: 'ACTÚE YA', medium: 'REVISE', low: 'NOTA' },
  mark: { high: '\u25b2', medium: '\u25c6', low: '\u25cb' },
  storeTitle: 'Espacio en el camión',
  storeUnknown: 'Ahora no se conoce.',
  free: (freeGb, share) => `${freeGb} GB libres (${share} %).`,
  size: (gb, records) => `El almacén tiene ${records} registros en ${gb} GB.`,
  daysLeft: days => `Alcanza para ${days} al ritmo del día más activo de los últimos siete.`,
  days: { one: 'día', other: 'días' },
  daysUnknown: 'Cuánto dura se sabe después de diez minutos de registro.',
  nothingRecorded: 'No se registró nada en los últimos siete días.',
};
