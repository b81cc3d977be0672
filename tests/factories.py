"""People, classes and homework sets for tests."""

import uuid
from datetime import timedelta

import factory
from django.utils import timezone
from factory.django import DjangoModelFactory

from accounts.models import SchoolClass, User
from problems.generators.setups import SHOWCASE
from problems.registry import skills_for
from quizzes.models import HomeworkSet

PASSWORD = "copper and nitrate"


class UserFactory(DjangoModelFactory[User]):
    class Meta:
        model = User
        skip_postgeneration_save = True

    username = factory.Sequence("student{}".format)
    # What a student is asked is drawn from this, so that a name gets the same in every run of the tests.
    public_id = factory.LazyAttribute(lambda user: uuid.uuid5(uuid.NAMESPACE_DNS, user.username))
    display_name = factory.LazyAttribute(lambda user: user.username.title())
    password = factory.PostGenerationMethodCall("set_password", PASSWORD)

    @classmethod
    def _after_postgeneration(cls, instance, create, results=None):
        if create:
            instance.save()


class TeacherFactory(UserFactory):
    username = factory.Sequence("teacher{}".format)
    is_teacher = True


class SchoolClassFactory(DjangoModelFactory[SchoolClass]):
    class Meta:
        model = SchoolClass

    name = factory.Sequence("Class {}".format)


class HomeworkSetFactory(DjangoModelFactory[HomeworkSet]):
    """A set on the showcase cell that has been open for an hour and is due in two days."""

    class Meta:
        model = HomeworkSet
        skip_postgeneration_save = True

    title = factory.Sequence("Set {}".format)
    skills = factory.LazyFunction(lambda: [skill.name for skill in skills_for(SHOWCASE)])
    level = "first_year"
    setup_json = factory.LazyFunction(SHOWCASE.as_json)
    seed = 7
    opens_at = factory.LazyFunction(lambda: timezone.now() - timedelta(hours=1))
    due_at = factory.LazyFunction(lambda: timezone.now() + timedelta(days=2))
    made_at = factory.LazyFunction(timezone.now)

    @factory.post_generation
    def classes(self, create, extracted, **kwargs):
        if create and extracted:
            self.classes.set(extracted)
