"""The form that makes a class."""

from django import forms

from accounts.models import SchoolClass


class ClassForm(forms.ModelForm):  # type: ignore[type-arg]  # not generic at run time
    class Meta:
        model = SchoolClass
        fields = ["name", "level", "exam_date", "time_zone"]
        widgets = {"exam_date": forms.DateInput({"type": "date"}, format="%Y-%m-%d")}
