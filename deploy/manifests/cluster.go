package manifests

import (
	"bytes"
	"errors"
	"fmt"
	"io"

	appsv1 "k8s.io/api/apps/v1"
	autoscalingv2 "k8s.io/api/autoscaling/v2"
	batchv1 "k8s.io/api/batch/v1"
	corev1 "k8s.io/api/core/v1"
	networkingv1 "k8s.io/api/networking/v1"
	policyv1 "k8s.io/api/policy/v1"
	metav1 "k8s.io/apimachinery/pkg/apis/meta/v1"
	"k8s.io/apimachinery/pkg/runtime"
	"k8s.io/apimachinery/pkg/runtime/serializer"
	utilyaml "k8s.io/apimachinery/pkg/util/yaml"
	"sigs.k8s.io/kustomize/api/krusty"
	"sigs.k8s.io/kustomize/kyaml/filesys"
)

// cluster is what an overlay installs.
type cluster struct {
	service   appsv1.Deployment
	migration batchv1.Job
	scaler    autoscalingv2.HorizontalPodAutoscaler
	budget    policyv1.PodDisruptionBudget
	front     corev1.Service
	account   corev1.ServiceAccount
	namespace corev1.Namespace
	network   map[string]networkingv1.NetworkPolicy
}

// render makes the manifests of a kustomization.
func render(folder string) ([]byte, error) {
	resources, err := krusty.MakeKustomizer(krusty.MakeDefaultOptions()).Run(filesys.MakeFsOnDisk(), folder)
	if err != nil {
		return nil, err
	}
	return resources.AsYaml()
}

// decode reads manifests strictly: a field that the API does not know, or that stands twice, is an error.
func decode(manifests []byte) (*cluster, error) {
	scheme := runtime.NewScheme()
	for _, add := range []func(*runtime.Scheme) error{appsv1.AddToScheme, batchv1.AddToScheme, corev1.AddToScheme, autoscalingv2.AddToScheme, policyv1.AddToScheme, networkingv1.AddToScheme} {
		if err := add(scheme); err != nil {
			return nil, err
		}
	}
	strict := serializer.NewCodecFactory(scheme, serializer.EnableStrict).UniversalDeserializer()
	c := &cluster{network: map[string]networkingv1.NetworkPolicy{}}
	for documents := utilyaml.NewYAMLReader(newReader(manifests)); ; {
		document, err := documents.Read()
		if errors.Is(err, io.EOF) {
			return c, nil
		}
		if err != nil {
			return nil, err
		}
		object, kind, err := strict.Decode(document, nil, nil)
		if err != nil {
			return nil, fmt.Errorf("%w in\n%s", err, bytes.TrimSpace(document))
		}
		if err := c.take(object); err != nil {
			return nil, fmt.Errorf("%s: %w", kind, err)
		}
	}
}

func (c *cluster) take(object runtime.Object) error {
	meta, ok := object.(metav1.Object)
	if !ok {
		return errors.New("it has no name")
	}
	switch o := object.(type) {
	case *appsv1.Deployment:
		c.service = *o
	case *batchv1.Job:
		c.migration = *o
	case *autoscalingv2.HorizontalPodAutoscaler:
		c.scaler = *o
	case *policyv1.PodDisruptionBudget:
		c.budget = *o
	case *corev1.Service:
		c.front = *o
	case *corev1.ServiceAccount:
		c.account = *o
	case *corev1.Namespace:
		c.namespace = *o
	case *networkingv1.NetworkPolicy:
		c.network[meta.GetName()] = *o
	default:
		return fmt.Errorf("%s is of a kind that no rule looks at", meta.GetName())
	}
	return nil
}
