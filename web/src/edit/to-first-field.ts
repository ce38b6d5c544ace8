/** A form that opens takes the keyboard to its first field. For `{@attach}`. */
export function toFirstField(form: HTMLElement): void {
  form.querySelector<HTMLElement>('input:not([type=checkbox]), select, textarea')?.focus();
}
