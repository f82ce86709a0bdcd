package respond

import (
	"net/http"
)

// The strict handlers ask each operation for a type of its own; a reply is all of
// them. What may be in it is checked against the contract by the tests.

// VisitGetLivezResponse sends the reply.
func (r *Reply) VisitGetLivezResponse(w http.ResponseWriter) error { return r.Write(w) }

// VisitGetReadyzResponse sends the reply.
func (r *Reply) VisitGetReadyzResponse(w http.ResponseWriter) error { return r.Write(w) }

// VisitGetContractResponse sends the reply.
func (r *Reply) VisitGetContractResponse(w http.ResponseWriter) error { return r.Write(w) }

// VisitGetProblemResponse sends the reply.
func (r *Reply) VisitGetProblemResponse(w http.ResponseWriter) error { return r.Write(w) }

// VisitGetPairingResponse sends the reply.
func (r *Reply) VisitGetPairingResponse(w http.ResponseWriter) error { return r.Write(w) }

// VisitPostPairingsResponse sends the reply.
func (r *Reply) VisitPostPairingsResponse(w http.ResponseWriter) error { return r.Write(w) }

// VisitListSpeciesResponse sends the reply.
func (r *Reply) VisitListSpeciesResponse(w http.ResponseWriter) error { return r.Write(w) }

// VisitGetSpeciesResponse sends the reply.
func (r *Reply) VisitGetSpeciesResponse(w http.ResponseWriter) error { return r.Write(w) }

// VisitListSpeciesPairingsResponse sends the reply.
func (r *Reply) VisitListSpeciesPairingsResponse(w http.ResponseWriter) error { return r.Write(w) }

// VisitPostChecksResponse sends the reply.
func (r *Reply) VisitPostChecksResponse(w http.ResponseWriter) error { return r.Write(w) }

// VisitPostGroupingsResponse sends the reply.
func (r *Reply) VisitPostGroupingsResponse(w http.ResponseWriter) error { return r.Write(w) }

// VisitPostPlacementsResponse sends the reply.
func (r *Reply) VisitPostPlacementsResponse(w http.ResponseWriter) error { return r.Write(w) }

// VisitPostAdditionsResponse sends the reply.
func (r *Reply) VisitPostAdditionsResponse(w http.ResponseWriter) error { return r.Write(w) }

// VisitCreateOrganizationResponse sends the reply.
func (r *Reply) VisitCreateOrganizationResponse(w http.ResponseWriter) error { return r.Write(w) }

// VisitListOrganizationsResponse sends the reply.
func (r *Reply) VisitListOrganizationsResponse(w http.ResponseWriter) error { return r.Write(w) }

// VisitEraseOrganizationDataResponse sends the reply.
func (r *Reply) VisitEraseOrganizationDataResponse(w http.ResponseWriter) error { return r.Write(w) }

// VisitCreateKeyResponse sends the reply.
func (r *Reply) VisitCreateKeyResponse(w http.ResponseWriter) error { return r.Write(w) }

// VisitListKeysResponse sends the reply.
func (r *Reply) VisitListKeysResponse(w http.ResponseWriter) error { return r.Write(w) }

// VisitRevokeKeyResponse sends the reply.
func (r *Reply) VisitRevokeKeyResponse(w http.ResponseWriter) error { return r.Write(w) }

// VisitCreateTankResponse sends the reply.
func (r *Reply) VisitCreateTankResponse(w http.ResponseWriter) error { return r.Write(w) }

// VisitListTanksResponse sends the reply.
func (r *Reply) VisitListTanksResponse(w http.ResponseWriter) error { return r.Write(w) }

// VisitGetTankResponse sends the reply.
func (r *Reply) VisitGetTankResponse(w http.ResponseWriter) error { return r.Write(w) }

// VisitReplaceTankResponse sends the reply.
func (r *Reply) VisitReplaceTankResponse(w http.ResponseWriter) error { return r.Write(w) }

// VisitPatchTankResponse sends the reply.
func (r *Reply) VisitPatchTankResponse(w http.ResponseWriter) error { return r.Write(w) }

// VisitDeleteTankResponse sends the reply.
func (r *Reply) VisitDeleteTankResponse(w http.ResponseWriter) error { return r.Write(w) }

// VisitCreateResidentResponse sends the reply.
func (r *Reply) VisitCreateResidentResponse(w http.ResponseWriter) error { return r.Write(w) }

// VisitListResidentsResponse sends the reply.
func (r *Reply) VisitListResidentsResponse(w http.ResponseWriter) error { return r.Write(w) }

// VisitGetResidentResponse sends the reply.
func (r *Reply) VisitGetResidentResponse(w http.ResponseWriter) error { return r.Write(w) }

// VisitReplaceResidentResponse sends the reply.
func (r *Reply) VisitReplaceResidentResponse(w http.ResponseWriter) error { return r.Write(w) }

// VisitPatchResidentResponse sends the reply.
func (r *Reply) VisitPatchResidentResponse(w http.ResponseWriter) error { return r.Write(w) }

// VisitDeleteResidentResponse sends the reply.
func (r *Reply) VisitDeleteResidentResponse(w http.ResponseWriter) error { return r.Write(w) }

// VisitCreateReadingResponse sends the reply.
func (r *Reply) VisitCreateReadingResponse(w http.ResponseWriter) error { return r.Write(w) }

// VisitListReadingsResponse sends the reply.
func (r *Reply) VisitListReadingsResponse(w http.ResponseWriter) error { return r.Write(w) }

// VisitCheckTankResponse sends the reply.
func (r *Reply) VisitCheckTankResponse(w http.ResponseWriter) error { return r.Write(w) }

// VisitCheckTankWithResponse sends the reply.
func (r *Reply) VisitCheckTankWithResponse(w http.ResponseWriter) error { return r.Write(w) }

// VisitListTankAdditionsResponse sends the reply.
func (r *Reply) VisitListTankAdditionsResponse(w http.ResponseWriter) error { return r.Write(w) }

// VisitListChecksResponse sends the reply.
func (r *Reply) VisitListChecksResponse(w http.ResponseWriter) error { return r.Write(w) }

// VisitExportChecksResponse sends the reply.
func (r *Reply) VisitExportChecksResponse(w http.ResponseWriter) error { return r.Write(w) }

// VisitGetCheckResponse sends the reply.
func (r *Reply) VisitGetCheckResponse(w http.ResponseWriter) error { return r.Write(w) }

// VisitReplayCheckResponse sends the reply.
func (r *Reply) VisitReplayCheckResponse(w http.ResponseWriter) error { return r.Write(w) }

// VisitOverrideCheckResponse sends the reply.
func (r *Reply) VisitOverrideCheckResponse(w http.ResponseWriter) error { return r.Write(w) }

// VisitCreateReportResponse sends the reply.
func (r *Reply) VisitCreateReportResponse(w http.ResponseWriter) error { return r.Write(w) }

// VisitListReportsResponse sends the reply.
func (r *Reply) VisitListReportsResponse(w http.ResponseWriter) error { return r.Write(w) }

// VisitGetReportResponse sends the reply.
func (r *Reply) VisitGetReportResponse(w http.ResponseWriter) error { return r.Write(w) }

// VisitRetractReportResponse sends the reply.
func (r *Reply) VisitRetractReportResponse(w http.ResponseWriter) error { return r.Write(w) }

// VisitGetPairingReportsResponse sends the reply.
func (r *Reply) VisitGetPairingReportsResponse(w http.ResponseWriter) error { return r.Write(w) }

// VisitPutSpeciesResponse sends the reply.
func (r *Reply) VisitPutSpeciesResponse(w http.ResponseWriter) error { return r.Write(w) }

// VisitDeleteSpeciesResponse sends the reply.
func (r *Reply) VisitDeleteSpeciesResponse(w http.ResponseWriter) error { return r.Write(w) }

// VisitListSpeciesRevisionsResponse sends the reply.
func (r *Reply) VisitListSpeciesRevisionsResponse(w http.ResponseWriter) error { return r.Write(w) }

// VisitListRevisionsResponse sends the reply.
func (r *Reply) VisitListRevisionsResponse(w http.ResponseWriter) error { return r.Write(w) }

// VisitGetRevisionDifferenceResponse sends the reply.
func (r *Reply) VisitGetRevisionDifferenceResponse(w http.ResponseWriter) error { return r.Write(w) }

// VisitRestoreRevisionResponse sends the reply.
func (r *Reply) VisitRestoreRevisionResponse(w http.ResponseWriter) error { return r.Write(w) }
