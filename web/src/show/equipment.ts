/** A kind of equipment for reading: sites and recipes share its key, 'blast-chiller-shelf'. */
export const equipmentWord = (kind: string): string => kind.replaceAll('-', ' ');
