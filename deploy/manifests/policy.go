package manifests

import (
	"bufio"
	"bytes"
	"fmt"
	"slices"
	"strings"

	corev1 "k8s.io/api/core/v1"
	networkingv1 "k8s.io/api/networking/v1"
	"k8s.io/apimachinery/pkg/api/resource"
	metav1 "k8s.io/apimachinery/pkg/apis/meta/v1"
	"k8s.io/apimachinery/pkg/labels"
)

func newReader(b []byte) *bufio.Reader { return bufio.NewReader(bytes.NewReader(b)) }

// rules are what must never be missing, by name. Each says what is wrong, or nothing.
var rules = map[string]func(*cluster) string{
	"no container runs as root": eachContainer(func(p corev1.PodSpec, _ corev1.Container) bool {
		return p.SecurityContext != nil && is(p.SecurityContext.RunAsNonRoot, true) && p.SecurityContext.RunAsUser != nil && *p.SecurityContext.RunAsUser > 0
	}),
	"roots cannot be written": eachContainer(func(_ corev1.PodSpec, c corev1.Container) bool {
		return c.SecurityContext != nil && is(c.SecurityContext.ReadOnlyRootFilesystem, true)
	}),
	"no container gains rights": eachContainer(func(_ corev1.PodSpec, c corev1.Container) bool {
		s := c.SecurityContext
		return s != nil && is(s.AllowPrivilegeEscalation, false) && s.Privileged == nil && s.Capabilities != nil &&
			slices.Contains(s.Capabilities.Drop, "ALL") && len(s.Capabilities.Add) == 0
	}),
	"system calls are bounded": eachContainer(func(p corev1.PodSpec, _ corev1.Container) bool {
		return p.SecurityContext.SeccompProfile != nil && p.SecurityContext.SeccompProfile.Type == corev1.SeccompProfileTypeRuntimeDefault
	}),
	"nothing of the machine is shared": eachContainer(func(p corev1.PodSpec, c corev1.Container) bool {
		return !p.HostNetwork && !p.HostPID && !p.HostIPC && !slices.ContainsFunc(p.Volumes, notASecret) && !slices.ContainsFunc(c.Ports, func(port corev1.ContainerPort) bool { return port.HostPort != 0 })
	}),
	"what is mounted is read": eachContainer(func(_ corev1.PodSpec, c corev1.Container) bool {
		return !slices.ContainsFunc(c.VolumeMounts, func(m corev1.VolumeMount) bool { return !m.ReadOnly })
	}),
	"the database's authority can be given": eachContainer(func(p corev1.PodSpec, c corev1.Container) bool {
		return slices.ContainsFunc(p.Volumes, func(v corev1.Volume) bool {
			return v.Secret != nil && v.Secret.SecretName == "commensal-database-ca" && is(v.Secret.Optional, true) &&
				slices.ContainsFunc(c.VolumeMounts, func(m corev1.VolumeMount) bool { return m.Name == v.Name && m.MountPath == databaseCA })
		})
	}),
	"traces can leave": func(c *cluster) string {
		for _, p := range c.network {
			for _, out := range p.Spec.Egress {
				if len(out.To) == 1 && out.To[0].PodSelector != nil && out.To[0].PodSelector.MatchLabels["commensal/takes-traces"] == "true" && out.Ports[0].Port.IntValue() == 4318 {
					return ""
				}
			}
		}
		return "nothing may be sent to a collector of traces"
	},
	"pods have no key to the cluster": eachContainer(func(p corev1.PodSpec, _ corev1.Container) bool { return is(p.AutomountServiceAccountToken, false) }),
	"the account has no key to the cluster": func(c *cluster) string {
		return unless(is(c.account.AutomountServiceAccountToken, false), "the service account mounts its token")
	},
	"memory and processors are bounded": eachContainer(func(_ corev1.PodSpec, c corev1.Container) bool {
		return !c.Resources.Limits.Memory().IsZero() && !c.Resources.Limits.Cpu().IsZero() &&
			!c.Resources.Requests.Memory().IsZero() && !c.Resources.Requests.Cpu().IsZero()
	}),
	"GOMEMLIMIT is 70 to 90 % of the memory": eachContainer(func(_ corev1.PodSpec, c corev1.Container) bool {
		limit, err := resource.ParseQuantity(strings.TrimSuffix(variable(c, "GOMEMLIMIT").Value, "B"))
		share := float64(limit.Value()) / float64(c.Resources.Limits.Memory().Value())
		return err == nil && share >= 0.7 && share <= 0.9
	}),
	"secrets are named, not written": eachContainer(func(_ corev1.PodSpec, c corev1.Container) bool {
		for _, v := range c.Env {
			byReference := v.Value == "" && v.ValueFrom != nil && v.ValueFrom.SecretKeyRef != nil && !is(v.ValueFrom.SecretKeyRef.Optional, true)
			if strings.HasSuffix(v.Name, "_URL") && v.Name != "COMMENSAL_PUBLIC_URL" && !byReference {
				return false
			}
		}
		return variable(c, "DATABASE_URL").ValueFrom != nil && len(c.EnvFrom) == 0
	}),
	"images have a version": eachContainer(func(_ corev1.PodSpec, c corev1.Container) bool {
		_, tag, ok := strings.Cut(c.Image[strings.LastIndex(c.Image, "/")+1:], ":")
		return ok && tag != "" && tag != "latest"
	}),
	"the service and its migration are of one release": func(c *cluster) string {
		for _, m := range containers(c.migration.Spec.Template.Spec) {
			if m.Image != c.service.Spec.Template.Spec.Containers[0].Image {
				return m.Image + " migrates for another image"
			}
		}
		return ""
	},
	"only the migration owns the tables": func(c *cluster) string {
		for _, m := range containers(c.migration.Spec.Template.Spec) {
			if key := variable(m, "DATABASE_URL").ValueFrom; key == nil || key.SecretKeyRef.Key != "owner-url" {
				return m.Name + " does not migrate as the owner"
			}
		}
		s := c.service.Spec.Template.Spec.Containers[0]
		if key := variable(s, "DATABASE_URL").ValueFrom; key == nil || key.SecretKeyRef.Key == "owner-url" || slices.Contains(s.Args, "--migrate") {
			return "the service works as the owner of the tables"
		}
		return ""
	},
	"probes ask the right things": func(c *cluster) string {
		s := c.service.Spec.Template.Spec.Containers[0]
		asks := func(p *corev1.Probe, path string) bool {
			return p != nil && p.HTTPGet != nil && p.HTTPGet.Path == path && p.HTTPGet.Port.String() == "http" && p.TimeoutSeconds >= 2
		}
		return unless(asks(s.StartupProbe, "/readyz") && asks(s.ReadinessProbe, "/readyz") && asks(s.LivenessProbe, "/livez"), "a probe is missing or asks something else")
	},
	"a start has a minute": func(c *cluster) string {
		p := c.service.Spec.Template.Spec.Containers[0].StartupProbe
		return unless(p != nil && p.PeriodSeconds*p.FailureThreshold >= 60, "the startup probe gives up too early")
	},
	"the end is waited for": func(c *cluster) string {
		drain := variable(c.service.Spec.Template.Spec.Containers[0], "COMMENSAL_DRAIN_DELAY").Value
		p := c.service.Spec.Template.Spec.Containers[0].ReadinessProbe
		var seconds int64
		if _, err := fmt.Sscanf(drain, "%ds", &seconds); err != nil || p == nil {
			return "there is no drain delay"
		}
		grace := c.service.Spec.Template.Spec.TerminationGracePeriodSeconds
		return unless(seconds > int64(p.PeriodSeconds*p.FailureThreshold) && grace != nil && *grace >= seconds+30, "a pod is ended before it has drained")
	},
	"a new release takes no replica away": func(c *cluster) string {
		r := c.service.Spec.Strategy.RollingUpdate
		return unless(r != nil && r.MaxUnavailable != nil && r.MaxUnavailable.IntValue() == 0 && r.MaxUnavailable.String() == "0" && c.service.Spec.MinReadySeconds > 0, "an update may leave fewer replicas")
	},
	"the autoscaler alone says how many": func(c *cluster) string {
		return unless(c.service.Spec.Replicas == nil && c.scaler.Spec.ScaleTargetRef.Name == c.service.Name && c.scaler.Spec.ScaleTargetRef.Kind == "Deployment", "the autoscaler and the deployment disagree")
	},
	"there are two replicas at least": func(c *cluster) string {
		return unless(c.scaler.Spec.MinReplicas != nil && *c.scaler.Spec.MinReplicas >= 2 && c.scaler.Spec.MaxReplicas > *c.scaler.Spec.MinReplicas, "a replica may be alone")
	},
	"it scales on processors and on the queue": func(c *cluster) string {
		var cpu, queue bool
		for _, m := range c.scaler.Spec.Metrics {
			cpu = cpu || m.Resource != nil && m.Resource.Name == corev1.ResourceCPU && m.Resource.Target.AverageUtilization != nil
			queue = queue || m.Pods != nil && m.Pods.Metric.Name == "commensal_work_waiting" && m.Pods.Target.AverageValue != nil
		}
		return unless(cpu && queue, "a metric is missing")
	},
	"disruptions are bounded": func(c *cluster) string {
		return unless(c.budget.Spec.MaxUnavailable != nil && c.budget.Spec.MaxUnavailable.String() != "0" && c.budget.Spec.MaxUnavailable.String() != "100%" &&
			selects(c.budget.Spec.Selector, c.service.Spec.Template.Labels), "the disruption budget is missing, stops everything or is for other pods")
	},
	"replicas are spread": func(c *cluster) string {
		for _, key := range []string{"topology.kubernetes.io/zone", "kubernetes.io/hostname"} {
			if !slices.ContainsFunc(c.service.Spec.Template.Spec.TopologySpreadConstraints, func(s corev1.TopologySpreadConstraint) bool {
				return s.TopologyKey == key && s.MaxSkew == 1 && selects(s.LabelSelector, c.service.Spec.Template.Labels)
			}) {
				return "nothing spreads replicas over " + key
			}
		}
		return ""
	},
	"the service finds its pods, and its port": func(c *cluster) string {
		ports := c.front.Spec.Ports
		return unless(len(c.front.Spec.Selector) > 0 && labels.SelectorFromSet(c.front.Spec.Selector).Matches(labels.Set(c.service.Spec.Template.Labels)) &&
			!labels.SelectorFromSet(c.front.Spec.Selector).Matches(labels.Set(c.migration.Spec.Template.Labels)) && len(ports) == 1 && ports[0].TargetPort.String() == "http",
			"the service selects other pods, or shows another port than http")
	},
	"the deployment finds its pods": func(c *cluster) string {
		return unless(selects(c.service.Spec.Selector, c.service.Spec.Template.Labels) && !selects(c.service.Spec.Selector, c.migration.Spec.Template.Labels), "the selector is for other pods")
	},
	"nothing goes in or out unless it is named": func(c *cluster) string {
		for _, pod := range []map[string]string{c.service.Spec.Template.Labels, c.migration.Spec.Template.Labels} {
			for _, direction := range []networkingv1.PolicyType{networkingv1.PolicyTypeIngress, networkingv1.PolicyTypeEgress} {
				if !guarded(c, pod, direction) {
					return fmt.Sprintf("no policy bounds %s of %v", direction, pod)
				}
			}
		}
		return ""
	},
	"who may ask is named": func(c *cluster) string {
		for name, p := range c.network {
			for _, in := range p.Spec.Ingress {
				if len(in.From) == 0 || len(in.Ports) == 0 || slices.ContainsFunc(in.From, func(f networkingv1.NetworkPolicyPeer) bool {
					return f.PodSelector == nil || len(f.PodSelector.MatchLabels) == 0
				}) {
					return name + " lets everybody in"
				}
			}
			for _, out := range p.Spec.Egress {
				if len(out.Ports) == 0 {
					return name + " lets everything out"
				}
			}
		}
		return ""
	},
	"the namespace refuses what is not restricted": func(c *cluster) string {
		return unless(c.namespace.Labels["pod-security.kubernetes.io/enforce"] == "restricted" && c.service.Namespace == c.namespace.Name && c.migration.Namespace == c.namespace.Name, "the namespace enforces nothing")
	},
	"the migration ends": func(c *cluster) string {
		j := c.migration.Spec
		return unless(j.ActiveDeadlineSeconds != nil && j.BackoffLimit != nil && j.TTLSecondsAfterFinished != nil && j.Template.Spec.RestartPolicy == corev1.RestartPolicyNever, "the job may go on for ever, or stays")
	},
	"the migration migrates, then offers the catalogue": func(c *cluster) string {
		p := c.migration.Spec.Template.Spec
		return unless(len(p.InitContainers) == 1 && slices.Equal(p.InitContainers[0].Args[:2], []string{"migrate", "up"}) && len(p.Containers) == 1 && slices.Equal(p.Containers[0].Args, []string{"catalogue", "offer"}), "the job does something else")
	},
}

// databaseCA is the folder with the certificate of the database's authority, as deploy/README.md has it.
const databaseCA = "/etc/commensal/database"

// notASecret reports whether a volume is anything but a secret of the cluster.
func notASecret(v corev1.Volume) bool { return v.Secret == nil }

// violations are the rules that a cluster breaks, in order of their names, each with what is wrong.
func violations(c *cluster) map[string]string {
	broken := map[string]string{}
	for name, rule := range rules {
		if said := rule(c); said != "" {
			broken[name] = said
		}
	}
	return broken
}

// eachContainer is a rule for all containers, those of the migration included.
func eachContainer(holds func(corev1.PodSpec, corev1.Container) bool) func(*cluster) string {
	return func(c *cluster) string {
		for _, pod := range []corev1.PodSpec{c.service.Spec.Template.Spec, c.migration.Spec.Template.Spec} {
			for _, container := range containers(pod) {
				if !holds(pod, container) {
					return "not so in the container " + container.Name
				}
			}
		}
		return ""
	}
}

func containers(p corev1.PodSpec) []corev1.Container {
	return slices.Concat(p.InitContainers, p.Containers)
}

// variable is a variable of a container's environment, empty where there is none.
func variable(c corev1.Container, name string) corev1.EnvVar {
	for _, v := range c.Env {
		if v.Name == name {
			return v
		}
	}
	return corev1.EnvVar{}
}

func is(b *bool, want bool) bool { return b != nil && *b == want }

func unless(ok bool, said string) string {
	if ok {
		return ""
	}
	return said
}

func selects(s *metav1.LabelSelector, of map[string]string) bool {
	selector, err := metav1.LabelSelectorAsSelector(s)
	return err == nil && s != nil && !selector.Empty() && selector.Matches(labels.Set(of))
}

// guarded reports whether a policy that names a direction selects a pod: what is not allowed is then refused.
func guarded(c *cluster, pod map[string]string, direction networkingv1.PolicyType) bool {
	for _, p := range c.network {
		if slices.Contains(p.Spec.PolicyTypes, direction) && selects(&p.Spec.PodSelector, pod) {
			return true
		}
	}
	return false
}
