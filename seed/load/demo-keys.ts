// Ids of demo records come from the keys of the data files, so that they read well in URLs.
export const siteId = (key: string): string => `site_${key}`;
export const serviceId = (site: string, service: string): string => `svc_${site}-${service}`;
export const ingredientId = (key: string): string => `ing_${key}`;
export const recipeId = (key: string): string => `rcp_${key}`;
export const versionId = (key: string, number: number): string => `ver_${key}-${number}`;
export const supplierId = (key: string): string => `sup_${key}`;
export const packId = (supplier: string, sku: string): string => `pack_${supplier}-${sku}`;
