package api

import "net/http"

// The strict handlers ask each operation for a type of its own; a reply is all of
// them. What may be in it is checked against the contract by the tests.

// VisitGetHomeResponse sends the reply.
func (r *reply) VisitGetHomeResponse(w http.ResponseWriter) error { return r.write(w) }

// VisitGetDocsResponse sends the reply.
func (r *reply) VisitGetDocsResponse(w http.ResponseWriter) error { return r.write(w) }

// VisitGetLivezResponse sends the reply.
func (r *reply) VisitGetLivezResponse(w http.ResponseWriter) error { return r.write(w) }

// VisitGetReadyzResponse sends the reply.
func (r *reply) VisitGetReadyzResponse(w http.ResponseWriter) error { return r.write(w) }

// VisitGetContractResponse sends the reply.
func (r *reply) VisitGetContractResponse(w http.ResponseWriter) error { return r.write(w) }

// VisitGetProblemResponse sends the reply.
func (r *reply) VisitGetProblemResponse(w http.ResponseWriter) error { return r.write(w) }

// VisitGetPairingResponse sends the reply.
func (r *reply) VisitGetPairingResponse(w http.ResponseWriter) error { return r.write(w) }

// VisitPostPairingsResponse sends the reply.
func (r *reply) VisitPostPairingsResponse(w http.ResponseWriter) error { return r.write(w) }

// VisitListSpeciesResponse sends the reply.
func (r *reply) VisitListSpeciesResponse(w http.ResponseWriter) error { return r.write(w) }

// VisitGetSpeciesResponse sends the reply.
func (r *reply) VisitGetSpeciesResponse(w http.ResponseWriter) error { return r.write(w) }

// VisitListSpeciesPairingsResponse sends the reply.
func (r *reply) VisitListSpeciesPairingsResponse(w http.ResponseWriter) error { return r.write(w) }

// VisitPostChecksResponse sends the reply.
func (r *reply) VisitPostChecksResponse(w http.ResponseWriter) error { return r.write(w) }

// VisitPostGroupingsResponse sends the reply.
func (r *reply) VisitPostGroupingsResponse(w http.ResponseWriter) error { return r.write(w) }

// VisitPostPlacementsResponse sends the reply.
func (r *reply) VisitPostPlacementsResponse(w http.ResponseWriter) error { return r.write(w) }

// VisitPostAdditionsResponse sends the reply.
func (r *reply) VisitPostAdditionsResponse(w http.ResponseWriter) error { return r.write(w) }

// VisitCreateOrganizationResponse sends the reply.
func (r *reply) VisitCreateOrganizationResponse(w http.ResponseWriter) error { return r.write(w) }

// VisitListOrganizationsResponse sends the reply.
func (r *reply) VisitListOrganizationsResponse(w http.ResponseWriter) error { return r.write(w) }

// VisitEraseOrganizationDataResponse sends the reply.
func (r *reply) VisitEraseOrganizationDataResponse(w http.ResponseWriter) error { return r.write(w) }

// VisitCreateKeyResponse sends the reply.
func (r *reply) VisitCreateKeyResponse(w http.ResponseWriter) error { return r.write(w) }

// VisitListKeysResponse sends the reply.
func (r *reply) VisitListKeysResponse(w http.ResponseWriter) error { return r.write(w) }

// VisitRevokeKeyResponse sends the reply.
func (r *reply) VisitRevokeKeyResponse(w http.ResponseWriter) error { return r.write(w) }

// VisitCreateTankResponse sends the reply.
func (r *reply) VisitCreateTankResponse(w http.ResponseWriter) error { return r.write(w) }

// VisitListTanksResponse sends the reply.
func (r *reply) VisitListTanksResponse(w http.ResponseWriter) error { return r.write(w) }

// VisitGetTankResponse sends the reply.
func (r *reply) VisitGetTankResponse(w http.ResponseWriter) error { return r.write(w) }

// VisitReplaceTankResponse sends the reply.
func (r *reply) VisitReplaceTankResponse(w http.ResponseWriter) error { return r.write(w) }

// VisitPatchTankResponse sends the reply.
func (r *reply) VisitPatchTankResponse(w http.ResponseWriter) error { return r.write(w) }

// VisitDeleteTankResponse sends the reply.
func (r *reply) VisitDeleteTankResponse(w http.ResponseWriter) error { return r.write(w) }

// VisitCreateResidentResponse sends the reply.
func (r *reply) VisitCreateResidentResponse(w http.ResponseWriter) error { return r.write(w) }

// VisitListResidentsResponse sends the reply.
func (r *reply) VisitListResidentsResponse(w http.ResponseWriter) error { return r.write(w) }

// VisitGetResidentResponse sends the reply.
func (r *reply) VisitGetResidentResponse(w http.ResponseWriter) error { return r.write(w) }

// VisitReplaceResidentResponse sends the reply.
func (r *reply) VisitReplaceResidentResponse(w http.ResponseWriter) error { return r.write(w) }

// VisitPatchResidentResponse sends the reply.
func (r *reply) VisitPatchResidentResponse(w http.ResponseWriter) error { return r.write(w) }

// VisitDeleteResidentResponse sends the reply.
func (r *reply) VisitDeleteResidentResponse(w http.ResponseWriter) error { return r.write(w) }

// VisitCreateReadingResponse sends the reply.
func (r *reply) VisitCreateReadingResponse(w http.ResponseWriter) error { return r.write(w) }

// VisitListReadingsResponse sends the reply.
func (r *reply) VisitListReadingsResponse(w http.ResponseWriter) error { return r.write(w) }

// VisitCheckTankResponse sends the reply.
func (r *reply) VisitCheckTankResponse(w http.ResponseWriter) error { return r.write(w) }

// VisitCheckTankWithResponse sends the reply.
func (r *reply) VisitCheckTankWithResponse(w http.ResponseWriter) error { return r.write(w) }

// VisitListTankAdditionsResponse sends the reply.
func (r *reply) VisitListTankAdditionsResponse(w http.ResponseWriter) error { return r.write(w) }

// VisitListChecksResponse sends the reply.
func (r *reply) VisitListChecksResponse(w http.ResponseWriter) error { return r.write(w) }

// VisitExportChecksResponse sends the reply.
func (r *reply) VisitExportChecksResponse(w http.ResponseWriter) error { return r.write(w) }

// VisitGetCheckResponse sends the reply.
func (r *reply) VisitGetCheckResponse(w http.ResponseWriter) error { return r.write(w) }

// VisitReplayCheckResponse sends the reply.
func (r *reply) VisitReplayCheckResponse(w http.ResponseWriter) error { return r.write(w) }

// VisitOverrideCheckResponse sends the reply.
func (r *reply) VisitOverrideCheckResponse(w http.ResponseWriter) error { return r.write(w) }

// VisitCreateReportResponse sends the reply.
func (r *reply) VisitCreateReportResponse(w http.ResponseWriter) error { return r.write(w) }

// VisitListReportsResponse sends the reply.
func (r *reply) VisitListReportsResponse(w http.ResponseWriter) error { return r.write(w) }

// VisitGetReportResponse sends the reply.
func (r *reply) VisitGetReportResponse(w http.ResponseWriter) error { return r.write(w) }

// VisitRetractReportResponse sends the reply.
func (r *reply) VisitRetractReportResponse(w http.ResponseWriter) error { return r.write(w) }

// VisitGetPairingReportsResponse sends the reply.
func (r *reply) VisitGetPairingReportsResponse(w http.ResponseWriter) error { return r.write(w) }

// VisitPutSpeciesResponse sends the reply.
func (r *reply) VisitPutSpeciesResponse(w http.ResponseWriter) error { return r.write(w) }

// VisitDeleteSpeciesResponse sends the reply.
func (r *reply) VisitDeleteSpeciesResponse(w http.ResponseWriter) error { return r.write(w) }

// VisitListSpeciesRevisionsResponse sends the reply.
func (r *reply) VisitListSpeciesRevisionsResponse(w http.ResponseWriter) error { return r.write(w) }

// VisitListRevisionsResponse sends the reply.
func (r *reply) VisitListRevisionsResponse(w http.ResponseWriter) error { return r.write(w) }

// VisitGetRevisionDifferenceResponse sends the reply.
func (r *reply) VisitGetRevisionDifferenceResponse(w http.ResponseWriter) error { return r.write(w) }

// VisitRestoreRevisionResponse sends the reply.
func (r *reply) VisitRestoreRevisionResponse(w http.ResponseWriter) error { return r.write(w) }
